package advice

import (
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/crop"
	"culm/agronomy/fertilizer"
	"culm/agronomy/weather"
)

// cautions puts the warnings of harm where the decision is made: those of the ground and the water always,
// those of the product when it is spread, those of the cattle when there are any.
func (c *inquiry) cautions() {
	c.caution("ground", "Never spread on frozen, snow-covered or saturated ground: what runs off is lost and pollutes.", cite.FrozenGround590)
	c.caution("water", strings.TrimSpace("Keep the setbacks from wells, ditches, ponds and streams that local rules ask for. "+c.fs.Settings.LocalRules), cite.Practice)
	for i := range c.plan.Cautions {
		c.plan.Cautions[i].Always = true
	}
	if c.plan.Decision.Action == Spread {
		c.productCautions(c.chosen.product)
	}
	if c.fs.Field.Crop.IsGrazed() {
		c.caution("cattle", "Keep cattle off until rain has washed the fertilizer in; spilled urea and liquid nitrogen poison cattle. Hot-wire and gates closed before the spreader leaves.", cite.Practice)
		c.caution("nitrate", "Forage pushed with nitrogen in cold or dry weather can hold dangerous nitrate: have it tested and ask a veterinarian before hungry cattle go in.", cite.ForageNitrate)
	}
	if crop.FirstHollowStem(c.fs.Field.Crop, c.fs.Visits).CattleOff(c.fs.Field.Crop) {
		c.caution("hollow-stem", "First hollow stem is reached: every day cattle stay can cost as much as 5 % of the grain.", cite.GrazingLoss)
	}
	if c.anyGround(weather.Frozen) || c.anyGround(weather.SnowCovered) {
		c.caution("frost-ahead", "Ground freezes or snow lies on some of the coming days: look at the ground itself before starting.", cite.FrozenGround590)
	}
	if c.anyGround(weather.Saturated) {
		c.caution("water-ahead", "Rain fills the topsoil on some of the coming days: let it drain before starting.", cite.FrozenGround590)
	}
}

func (c *inquiry) productCautions(p fertilizer.Product) {
	for _, w := range p.Cautions {
		c.caution(w.Key, p.Name+": "+w.Text, w.Source)
	}
	if p.Form == fertilizer.Liquid {
		c.caution("drift", "Liquid drifts and burns leaves: cool, calm hours, dry leaves, no frost or dew; nozzles and boom as the label says.", cite.NebraskaLeafBurn)
		c.caution("eyes", "Wear gloves and goggles with liquid fertilizer and carry clean water to rinse eyes and skin.", cite.Practice)
		return
	}
	c.caution("machine", "Stop the spreader's drive before clearing it; keep people away from the discs, and clear of power lines with raised bodies and booms.", cite.Practice)
}

func (c *inquiry) caution(key, text string, source cite.Key) {
	c.plan.Cautions = append(c.plan.Cautions, Caution{Key: key, Text: text, Source: source})
}

func (c *inquiry) anyGround(s weather.State) bool {
	for _, d := range c.days {
		if d.Ground.State == s {
			return true
		}
	}
	return false
}
