package advice

import (
	"fmt"
	"slices"

	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
)

// What an operator is told to keep people, water and crop from harm. Common practice, no source, but for what the plan's
// own cautions say, each with its source.

// warn fills when to stop, what harms people and where not to go.
func (m *cardMaker) warn() {
	m.stops()
	m.keep()
	m.safety()
}

func (m *cardMaker) stops() {
	stop := func(text string) { m.card.Stops = append(m.card.Stops, text) }
	stop("Ground frozen, under snow or saturated, or wheels that leave ruts: stop.")
	if !m.card.Go {
		return
	}
	if d := m.plan.Deadline; d.Known && !d.Day.IsZero() {
		stop("Not after " + d.Day.Spoken() + " without asking: the crop's last likely day.")
	}
	way := m.plan.Decision.Placement
	wind := fmt.Sprintf("Wind above %.0f mph (%.0f km/h)", float64(ground.WindLimit(way)/unit.MilePerHour), float64(ground.WindLimit(way)/unit.KilometrePerHour))
	switch {
	case way == placement.Stream:
		stop(wind + ", or streams that break up: stop.")
		stop("Frost or dew on the leaves: stop; they burn.")
	case m.product.Form == fertilizer.Liquid:
		stop(wind + ", or dead calm under a clear evening or morning sky: stop; drops drift.")
		stop("Frost or dew on the leaves, or heat: stop; the leaves burn.")
	default:
		stop(wind + ": stop; it carries the pattern.")
	}
	stop("The monitor 10 % off the rate, or a load that covers much more or less than told: stop and find out why.")
}

// keep says where not to go: by the field's own note, the local rules, and what every field may have.
func (m *cardMaker) keep() {
	m.card.Keep = append(m.card.Keep, "Waterways, ditches, ponds, wells, tile inlets and wet spots: mark them before starting, and shut off before them.")
	for _, c := range m.plan.Cautions {
		if c.Key == "water" {
			m.card.Keep = append(m.card.Keep, c.Text)
		}
	}
	if m.plan.Field.Note != "" {
		m.card.Keep = append(m.card.Keep, "Of this field: "+m.plan.Field.Note)
	}
	m.card.Keep = append(m.card.Keep, "Power lines with raised booms and bodies; neighbours' crops, yards and stock downwind.")
}

// toldElsewhere are the plan's cautions that stand in another place on the card.
func toldElsewhere(key string) bool {
	return slices.Contains([]string{"ground", "water", "frost-ahead", "water-ahead", "drift"}, key)
}

func (m *cardMaker) safety() {
	say := func(text string) {
		if !slices.Contains(m.card.Safety, text) {
			m.card.Safety = append(m.card.Safety, text)
		}
	}
	if m.card.Go && m.product.Form == fertilizer.Liquid {
		say("Goggles and gloves with liquid fertilizer. Clean water within reach at rig and nurse tank: in the eye, rinse at once, for 15 minutes, then see a doctor.")
		say("Nurse tank: hitch pin and chains, hoses and valves looked at, wheels chocked, nobody between tank and rig; a spill is diked, not washed away.")
		say("Rinse pump, boom and tank after the last load: it eats brass, copper and mild steel.")
	}
	if m.card.Go && m.product.Form == fertilizer.Dry {
		say("Drive off and key out before clearing discs or chain; nobody behind a running spreader.")
	}
	say("Anhydrous ammonia never goes on a standing crop. Where its tanks stand in the same yard: upwind, goggles, gloves and water before a valve is touched.")
	for _, c := range m.plan.Cautions {
		if !toldElsewhere(c.Key) && c.Key != "eyes" && c.Key != "machine" && c.Key != "corrosion" {
			say(c.Text)
		}
	}
}
