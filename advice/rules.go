package advice

import (
	"culm/agronomy/fertility"
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
	"culm/agronomy/working"
	"culm/season"
)

// FactsFor gives what is known of a field as a plan asks one rule of guidance, for nitrogen or anything else, so
// that the rule can be worked out by itself; for lime and nutrients those of the field as a whole. The facts belong
// to the caller, who may add to them.
func (a *Advisor) FactsFor(fs season.FieldSeason, r *rulebook.Rule) *rulebook.Facts {
	c := &inquiry{advisor: a, fs: fs}
	c.plan = Plan{Version: Version, Field: fs.Field, Producer: fs.Producer, Today: fs.Today, Units: fs.Settings.Units}
	c.blendWeather()
	c.know()
	if r.Answers != rulebook.Nitrogen {
		return fertility.FactsFor(c.groundQuestion(c.wholeField()))
	}
	c.askNeed()
	facts := nitrogen.FactsFor(c.rateEvidence(), r)
	recorded := working.Origin{Kind: working.Setting, By: "the field's record"}
	facts.Say(rulebook.Texture, string(fs.Field.Texture), recorded)
	return facts
}

// wholeField is the field without the parts that were sampled apart; without any sample where none speaks for it.
func (c *inquiry) wholeField() part {
	for _, p := range c.parts() {
		if p.name == "" {
			return p
		}
	}
	return part{}
}
