package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// writePrices enters two rounds of prices: those of the fall, and those of this week, which stand.
func writePrices(n *notebook) {
	fall, now := calendar.Date(2026, time.October, 12), Today().Add(-2)
	n.write(advisor, fall, grain("wheat", unit.PerWheatBushel, 5.35, 4.60, 6.40, fall))
	wheat := grain("wheat", unit.PerWheatBushel, 5.60, 4.80, 6.60, now)
	n.add(season.Entry{ID: n.id(wheat, "february"), Observed: now, Recorded: duringWork(now, "wheat"), Writer: advisor, Body: wheat})
	n.write(advisor, now, grain("canola", unit.PerCanolaBushel, 10.25, 8.75, 11.75, now))
	n.write(advisor, now, grain("gain", unit.PerPound, 1.15, 0.85, 1.50, now))
	for _, p := range []struct {
		product        string
		ton, low, high float64 // $ per short ton of product
	}{
		{"urea", 560, 530, 610},
		{"uan-28", 365, 345, 395},
		{"uan-32", 415, 395, 450},
		{"ammonium-sulfate", 430, 410, 460},
		{"ammonium-thiosulfate", 445, 425, 475},
	} {
		n.write(advisor, now, grain(p.product, unit.PerShortTon, p.ton, p.low, p.high, now))
	}
	for _, p := range []struct {
		pass string
		acre float64 // $/ac
	}{
		{"pass/broadcast", 7.00},
		{"pass/streams", 8.50},
		{"pass/flat-fan", 8.50},
	} {
		n.write(advisor, now, &season.Price{Item: p.pass, Pass: unit.MoneyPerArea(p.acre) * unit.PerAcre, Day: now, By: "custom rates asked for in the district"})
	}
}

func grain(item string, per unit.PricePerMass, expected, low, high float64, day calendar.Day) *season.Price {
	return &season.Price{
		Item: item, Price: unit.PricePerMass(expected) * per, Low: unit.PricePerMass(low) * per, High: unit.PricePerMass(high) * per,
		Day: day, By: "Divide Co-op (invented)",
	}
}
