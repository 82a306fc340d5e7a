package advice

import (
	"fmt"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// askStage enters the degree days from planting to the end of the planting year, and how far they carry the
// crop by the published table. It decides nothing: the stage that ends top-dressing is seen on a walk or
// foretold by the deadline.
func (c *inquiry) askStage() {
	planted := c.fs.Field.Planted
	if planted.IsZero() || len(c.fs.Weather) == 0 {
		return
	}
	until := c.fs.Today
	if end := calendar.Date(planted.Time().Year(), time.December, 31); until.After(end) {
		until = end
	}
	var sum weather.Sum[unit.DegreeDays]
	if c.fs.Field.Crop == season.Canola {
		sum = crop.CanolaDegreeDays(c.fs.Weather, planted, until)
	} else {
		sum = crop.WheatDegreeDays(c.fs.Weather, planted, until)
	}
	if !sum.Complete() {
		return
	}
	c.ledger().Add(working.Figure{
		ID: "stage.fall", Label: "Degree days from planting to " + until.Spoken(), Amount: working.Of(sum.Total),
		Origin: working.Origin{Kind: working.Computed, With: c.record()},
		Source: cite.NorthDakotaGDD, Status: cite.Confirmed,
		Notes: []string{c.stageOf(sum.Total), sentenceCase(crop.LeafCaution) + "."},
	})
}

// stageOf is what the published table makes of a sum.
func (c *inquiry) stageOf(sum unit.DegreeDays) string {
	if c.fs.Field.Crop == season.Canola {
		return "By the table: " + crop.CanolaStage(sum) + "."
	}
	if leaves, ok := crop.LeafNumber(sum); ok {
		return fmt.Sprintf("By the table: %.1f leaves on the scale of Haun.", float64(leaves))
	}
	return "The table has no number of leaves for so few or so many."
}
