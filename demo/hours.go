package demo

import (
	"math"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/season"
)

// hourlyDays is how many of a forecast's days the weather desk gives by the hour as well.
const hourlyDays = 7

// behind is how far the district's clocks are behind UTC in winter.
const behind = 6 * time.Hour

// hoursOf spreads the outlook of the first days over their hours: coldest at six and warmest at three, wind that rises
// with the sun, air that dries as it warms, rain in one fall around midday. Figures are whole, as they are read out,
// so the means of a day's hours are the day's but for the rounding. Nothing in it is drawn by chance.
func hoursOf(first calendar.Day, days []outlook) season.Hours {
	var hours season.Hours
	for i, o := range days[:min(hourlyDays, len(days))] {
		shape := dayShape{outlook: o, before: o, after: o}
		if i > 0 {
			shape.before = days[i-1]
		}
		if i+1 < len(days) {
			shape.after = days[i+1]
		}
		for clock := range 24 {
			h := shape.hour(clock)
			h.At = first.Add(i).Time().Add(behind + time.Duration(clock)*time.Hour)
			h.Ahead = -int(behind / time.Minute)
			hours = append(hours, h)
		}
	}
	return hours
}

// dayShape is a day between its neighbours.
type dayShape struct{ outlook, before, after outlook }

func (d dayShape) hour(clock int) season.Hour {
	low, high := fahrenheit(d.outlook.low), fahrenheit(d.outlook.high)
	air := fahrenheit(math.Round(d.warmth(clock)))
	// The day's humidity is that of air midway between its low and its high.
	damp := d.outlook.humidity * ground.SaturationPressure((low+high)/2) / ground.SaturationPressure(air)
	wind := math.Round(d.outlook.wind * gale(clock) / daylightGale())
	rain, chance := d.rain(clock)
	return season.Hour{
		Temperature: air, Humidity: percent(math.Round(100 * min(0.98, damp))),
		Wind: milesPerHour(wind), Gust: milesPerHour(math.Round(1.5 * wind)),
		Cloud: percent(math.Round(20 + 75*d.outlook.chance)), Rain: inchesOfWater(rain), RainChance: percent(math.Round(100 * chance)),
		Has: season.HourTemperature | season.HourHumidity | season.HourWind | season.HourGust | season.HourCloud | season.HourRain | season.HourRainChance,
	}
}

// warmth is the temperature in degrees F: half waves from a low to a high and on to the next low, kept between the
// day's own.
func (d dayShape) warmth(clock int) float64 {
	const coldest, warmest = 6, 15
	from, to, share := d.outlook.low, d.outlook.high, float64(clock-coldest)/(warmest-coldest)
	switch {
	case clock < coldest:
		from, to, share = d.before.high, d.outlook.low, float64(clock+24-warmest)/(24+coldest-warmest)
	case clock > warmest:
		from, to, share = d.outlook.high, d.after.low, float64(clock-warmest)/(24+coldest-warmest)
	}
	f := from + (to-from)*(1-math.Cos(math.Pi*share))/2
	return min(d.outlook.high, max(d.outlook.low, f))
}

// gale is how wind goes through a day, without its strength.
func gale(clock int) float64 {
	return 0.7 + 0.4*max(0, math.Sin(math.Pi*float64(clock-6)/15))
}

// daylightGale is its mean from 8 to 18 o'clock, which a day's wind is.
func daylightGale() float64 {
	sum := 0.0
	for clock := 8; clock < 18; clock++ {
		sum += gale(clock)
	}
	return sum / 10
}

// rain is what falls in an hour, in inches, and its chance: from eleven o'clock on, a tenth of an inch an hour, the
// last hour what is left.
func (d dayShape) rain(clock int) (inches, chance float64) {
	const begins = 11
	hundredths := math.Round(100*d.outlook.rain) - float64(10*(clock-begins))
	if clock < begins || hundredths <= 0 {
		return 0, d.outlook.chance / 3
	}
	return min(10, hundredths) / 100, d.outlook.chance
}
