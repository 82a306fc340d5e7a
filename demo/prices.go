package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// writePrices enters two rounds of prices: wheat as it stood in the fall, and everything as it stands this
// week.
func writePrices(n *notebook) {
	then, now := calendar.Date(2026, time.October, 12), Today().Add(-2)
	n.write(advisor, then, price("wheat", 60, 5.35, 4.60, 6.40, then))
	this := price("wheat", 60, 5.60, 4.80, 6.60, now)
	n.add(season.Entry{ID: n.id(this, "february"), Observed: now, Recorded: duringWork(now, "wheat"), Writer: advisor, Body: this})
	for _, p := range []struct {
		item                string
		pounds              int64 // that the prices, in $, are for
		expected, low, high float64
	}{
		{"canola", 50, 10.25, 8.75, 11.75},
		{"gain", 1, 1.15, 0.85, 1.50},
		{"urea", 2000, 560, 530, 610},
		{"uan-28", 2000, 365, 345, 395},
		{"uan-32", 2000, 415, 395, 450},
		{"ammonium-sulfate", 2000, 430, 410, 460},
		{"ammonium-thiosulfate", 2000, 445, 425, 475},
		{"monoammonium-phosphate", 2000, 780, 740, 840},
		{"diammonium-phosphate", 2000, 745, 700, 810},
		{"potassium-chloride", 2000, 445, 420, 490},
		{"gypsum", 2000, 62, 55, 75},
		{"lime", 2000, 38, 34, 45},
	} {
		n.write(advisor, now, price(p.item, p.pounds, p.expected, p.low, p.high, now))
	}
	for _, p := range []struct {
		pass string
		acre float64 // $/ac
	}{
		{"pass/broadcast", 7.00},
		{"pass/stream", 8.50},
		{"pass/flat-fan", 8.50},
	} {
		n.write(advisor, now, &season.Price{Item: p.pass, Pass: dollarsPerAcre(p.acre), Day: now, By: "custom rates asked for in the district"})
	}
}

func price(item string, pounds int64, expected, low, high float64, day calendar.Day) *season.Price {
	return &season.Price{
		Item: item, Price: perPounds(expected, pounds), Low: perPounds(low, pounds), High: perPounds(high, pounds),
		Day: day, By: "Divide Co-op (invented)",
	}
}
