package trials

import (
	"math"
	"time"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/season"
)

// All lists the trials: Montana, Kansas, the rain experiments, the inhibitor means, then the regional means.
func All() []Trial {
	all := montana()
	all = append(all, kansas()...)
	all = append(all, black()...)
	all = append(all, holcomb()...)
	all = append(all, inhibitors()...)
	all = append(all, illinois()...)
	return append(all, means()...)
}

// mid latitudes in a month, for trials whose place or day the abstract does not give.
func ordinary(month time.Month) (calendar.Day, season.Position) {
	return calendar.Date(2010, month, 15), season.Position{Lon: -97, Lat: 40}
}

func kansas() []Trial {
	day, at := ordinary(time.March)
	t := Trial{
		Study: "Kansas (Perin 2020)", Source: cite.Perin2020, Status: cite.Confirmed, Day: day, Measure: Lost, Role: Held,
		Sky: Sky{Mean: 5, Days: ammonia.DefaultHorizon, At: at},
	}
	largest, smallest := t, t
	largest.Key, largest.Name, largest.Measured = "kansas-largest", "largest of 5 sites, moist then dry", 0.296
	largest.Sky.Surface = ammonia.Moist
	largest.Given, largest.Assumed = "moist soil, then a dry spell; soil 2.5 to 7.7 °C; February to April", "no rain at all, 5 °C, March"
	smallest.Key, smallest.Name, smallest.Measured = "kansas-smallest", "smallest of 5 sites", 0.003
	smallest.Sky.Surface, smallest.Sky.Falls = ammonia.DryGround, []Shower{{1, 25}}
	smallest.Given, smallest.Assumed = "soil 2.5 to 7.7 °C; nothing of its rain", "dry ground and 25 mm the day after, 5 °C, March"
	return []Trial{largest, smallest}
}

// black is Black et al. (1987): g N/m2 lost of 10, on pasture.
func black() []Trial {
	day, at := ordinary(time.April)
	base := Trial{
		Study: "Black 1987", Source: cite.Black1987, Status: cite.Confirmed, Day: day, Measure: Lost, Role: Held,
		Sky: Sky{
			Surface: ammonia.Moist, Mean: 15, Days: 30, At: at,
			Soil: ammonia.Soil{OrganicMatter: told(unit.Fraction(0.05))},
		},
	}
	moist := func(key, name string, measure Measure, measured float64, role Role, falls ...Shower) Trial {
		t := base
		t.Key, t.Name, t.Measure, t.Measured, t.Role, t.Sky.Falls = key, name, measure, measured, role, falls
		t.Given, t.Assumed = "pasture at field capacity", "15 °C, 30 days, 5 % organic matter, no rain but that named"
		return t
	}
	dry := func(key, name string, measured float64, role Role, falls ...Shower) Trial {
		t := base
		t.Key, t.Name, t.Measured, t.Role, t.Sky.Falls = key, name, measured, role, falls
		t.Sky.Surface = ammonia.DryGround
		t.Given, t.Assumed = "air-dry soil, 30 days", "15 °C, 5 % organic matter, no rain but that named"
		return t
	}
	var again []Shower
	for i := 2; i < 30; i += 2 {
		again = append(again, Shower{i, 2})
	}
	return []Trial{
		moist("black-none", "field capacity, no water", Lost, 0.281, Calibration),
		moist("black-4", "4 mm within 3 h, of that without", LeftByRain, 0.92/2.81, Held, Shower{0, 4}),
		moist("black-16", "16 mm within 3 h, of that without", LeftByRain, 0.18/2.81, Held, Shower{0, 16}),
		moist("black-16-48h", "16 mm at 48 h, of that without", LeftByRain, 3.09/3.33, Held, Shower{2, 16}),
		dry("black-dry", "air-dry soil, no water", 0.33, Calibration),
		dry("black-dry-16-48h", "air-dry soil, 16 mm at 48 h", 0.259, Held, Shower{2, 16}),
		dry("black-dry-16-96h", "air-dry soil, 16 mm at 96 h", 0.240, Held, Shower{4, 16}),
		dry("black-dry-2", "air-dry soil, 2 mm again and again", 0.394, Held, again...),
	}
}

// holcomb is Holcomb (2011): kg N/ha lost in 23 days under a pivot, of a rate that the abstract does not give.
func holcomb() []Trial {
	day, at := ordinary(time.April)
	row := func(key, name string, measured, mm float64, role Role) Trial {
		return Trial{
			Key: key, Study: "Holcomb 2011", Name: name, Source: cite.Holcomb2011, Status: cite.Confirmed, Day: day,
			Measure: LeftByRain, Measured: measured, Role: role,
			Sky:   Sky{Surface: ammonia.Moist, Mean: 12, Days: 23, At: at, Falls: []Shower{{0, mm}}},
			Given: "irrigated wheat, 23 days", Assumed: "moist ground, water on the day of spreading, 12 °C",
		}
	}
	return []Trial{
		row("holcomb-8", "8 mm, of that without", 19.0/67, 8, Held),
		row("holcomb-15", "15 mm, of that without", 0.10, 15, Given),
		row("holcomb-22", "22 mm, of that without", 3.0/67, 22, Held),
	}
}

// inhibitors are means over many trials.
func inhibitors() []Trial {
	day, at := ordinary(time.May)
	silva := Trial{
		Study: "Silva 2017", Source: cite.Silva2017, Status: cite.Confirmed, Day: day, Measure: Lost, Role: Held,
		Sky:   Sky{Surface: ammonia.Moist, Mean: 25, Days: 30, At: at},
		Given: "mean over trials of many places", Assumed: "25 °C, moist ground, no rain, 30 days",
	}
	row := func(key, name string, measure Measure, measured float64, role Role, inhibited bool) Trial {
		t := silva
		t.Key, t.Name, t.Measure, t.Measured, t.Role, t.Inhibited = key, name, measure, measured, role, inhibited
		return t
	}
	cantarella := row("cantarella-left", "with inhibitor, of that without", LeftByInhibitor, 0.47, Held, true)
	cantarella.Study, cantarella.Source = "Cantarella 2018", cite.Cantarella2018
	mean := row("cantarella-urea", "urea, mean", Lost, 0.16, Held, false)
	mean.Study, mean.Source = cantarella.Study, cantarella.Source
	mean.Sky.Falls, mean.Assumed = []Shower{{3, 10}}, "25 °C, moist ground, 10 mm on the third day"
	return []Trial{
		row("silva-urea", "urea, mean", Lost, 0.310, Held, false),
		row("silva-inhibitor", "with inhibitor, mean", Lost, 0.148, Held, true),
		row("silva-half", "urea, half of the loss", HalfLoss, 4.8, Calibration, false),
		row("silva-half-inhibitor", "with inhibitor, half of the loss", HalfLoss, 8.3, Calibration, true),
		mean, cantarella,
	}
}

// illinois is a bound: clean-tilled ground lost less than 5 %.
func illinois() []Trial {
	day, at := ordinary(time.April)
	return []Trial{{
		Key: "illinois-bare", Study: "Illinois 2004", Name: "clean-tilled, under 5 %", Source: cite.IllinoisResidue, Status: cite.Confirmed,
		Day: day, Measure: Lost, Measured: 0.05, Role: Held,
		Sky:   Sky{Surface: ammonia.Moist, Mean: 12, Days: ammonia.DefaultHorizon, At: at, Soil: ammonia.Soil{Residue: told(unit.Fraction(0.02))}},
		Given: "clean-tilled", Assumed: "moist ground, no rain, 12 °C, 2 % cover; 5 % itself for \"under 5 %\"",
	}}
}

// means are regional: they hold the rain of ordinary years, and are no trials.
func means() []Trial {
	day, at := ordinary(time.April)
	row := func(key, name string, source cite.Key, status cite.Status, measured float64) Trial {
		return Trial{
			Key: key, Study: "regional mean", Name: name, Source: source, Status: status, Day: day, Measure: Lost, Measured: measured, Role: Bound,
			Sky:   Sky{Surface: ammonia.Moist, Mean: 12, Days: ammonia.DefaultHorizon, At: at, Falls: every(5, 8, 10)},
			Given: "none: a mean over regions", Assumed: "moist ground, 10 mm every 8 days from the fifth on, 12 °C",
		}
	}
	return []Trial{
		row("goebes", "urea over the United States", cite.Goebes2003, cite.Quoted, 19.2/100*14/17),
		row("bouwman", "urea broadcast, temperate (from memory)", cite.Bouwman2002, cite.FromMemory, math.Exp(-1.931)),
	}
}
