package advice

import (
	"culm/agronomy/crop"
	"culm/agronomy/working"
	"culm/season"
)

// askDeadline finds the day after which top-dressed nitrogen no longer makes yield.
func (c *inquiry) askDeadline() {
	q := crop.Question{
		Crop: c.fs.Field.Crop, HarvestYear: c.fs.Settings.HarvestYear, Visits: c.fs.Visits,
		Weather: c.fs.Weather, Seen: c.fs.Field.ElongationSeen, Rules: c.advisor.deadlines,
	}
	switch {
	case c.fs.Station != nil:
		q.At, q.HasAt = c.fs.Station.At, true
	case c.fs.Boundary != nil && len(c.fs.Boundary.Polygons) > 0:
		q.At, q.HasAt = c.fs.Boundary.Polygons[0][0][0], true
	}
	found := crop.DeadlineFor(q)
	c.plan.Deadline = Deadline{Known: found.Known, Day: found.Day, Low: found.Low, High: found.High, Past: found.Past, Why: found.Why}
	if !found.Known {
		if c.fs.Field.Crop == season.WheatGrazeOut {
			return // it has none: nitrogen makes forage as long as it grows
		}
		c.missing("the crop's growth stage", "the day until which nitrogen still makes yield")
		return
	}
	f := working.Figure{
		ID: "deadline", Label: "Last day for top-dressing", Text: found.Day.Spoken(),
		Origin: working.Origin{Kind: found.Origin, Why: found.Why}, Source: found.Source, Status: found.Status,
	}
	if found.Low != found.High {
		f.Notes = append(f.Notes, "Likely between "+found.Low.Short()+" and "+found.High.Short()+".")
	}
	if !found.Past {
		f.Notes = append(f.Notes, "Nitrogen must be in the root zone before the stem lengthens: a week between spreading and the first joint is wanted in Texas.")
	}
	c.plan.Deadline.Figure = c.ledger().Add(f).ID
}
