package advice

import (
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
	"culm/agronomy/working"
	"culm/season"
)

// FactsFor gives what is known of a field as a plan asks one rule of guidance, for nitrogen or anything else, so
// that the rule can be worked out by itself. The facts belong to the caller, who may add to them.
func (a *Advisor) FactsFor(fs season.FieldSeason, r *rulebook.Rule) *rulebook.Facts {
	c := &inquiry{advisor: a, fs: fs}
	c.plan = Plan{Version: Version, Field: fs.Field, Producer: fs.Producer, Today: fs.Today, Units: fs.Settings.Units}
	c.blendWeather()
	c.know()
	c.askNeed()
	facts := nitrogen.FactsFor(c.rateEvidence(), r)
	recorded := working.Origin{Kind: working.Setting, By: "the field's record"}
	facts.Say(rulebook.Texture, string(fs.Field.Texture), recorded)
	return facts
}
