package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// writeRigs enters the two machines that spread in the district: the Divide Co-op's sprayer and its spreader.
func writeRigs(n *notebook) {
	told := calendar.Date(2026, time.September, 3)
	n.write(advisor, told, &season.Rig{
		ID: "boom-90", Name: "the Co-op's 90 ft boom", Machine: season.Sprayer,
		Width: 90 * unit.Foot, Nozzles: 54, Spacing: 20 * unit.Inch, Tank: 1000 * unit.Gallon,
		Speed: 8 * unit.MilePerHour, Monitor: season.GallonsAnAcre,
		Tips: []season.Tip{
			{Name: "fan 04", Flow: 0.4 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Low: 15 * unit.PoundPerSquareInch, High: 60 * unit.PoundPerSquareInch},
			{Name: "three-hole stream", Flow: 0.5 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Low: 15 * unit.PoundPerSquareInch, High: 40 * unit.PoundPerSquareInch, Streams: true},
		},
	})
	n.write(advisor, told, &season.Rig{
		ID: "discs-60", Name: "the Co-op's disc spreader", Machine: season.Spreader,
		Width: 60 * unit.Foot, Hopper: 8000 * unit.Pound, Speed: 10 * unit.MilePerHour, Monitor: season.PoundsAnAcre,
	})
}
