package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// outlook is a forecast day as it would be read out, in the units of the weather desk.
type outlook struct {
	low, high float64 // degrees F
	rain      float64 // in, with melted snow
	chance    float64 // of any rain
	snow      float64 // in, lying
	wind      float64 // mph, mean of the daylight hours
	humidity  float64
}

// tenDays is the outlook of 10 February for the district: two mild days, rain, a windy Sunday as the front
// goes through, three days of frozen ground under a little snow, and a thaw.
func tenDays() []outlook {
	return []outlook{
		{31, 56, 0, 0.00, 0, 7, 0.48},     // Wed 10
		{35, 58, 0, 0.05, 0, 6, 0.55},     // Thu 11
		{39, 50, 0.60, 0.90, 0, 9, 0.84},  // Fri 12
		{36, 46, 0.03, 0.50, 0, 10, 0.80}, // Sat 13
		{27, 45, 0, 0.05, 0, 25, 0.42},    // Sun 14
		{9, 25, 0.10, 0.60, 1, 13, 0.70},  // Mon 15
		{2, 21, 0.04, 0.30, 2, 9, 0.72},   // Tue 16
		{8, 29, 0, 0.05, 1, 8, 0.66},      // Wed 17
		{20, 44, 0, 0.05, 0, 9, 0.52},     // Thu 18
		{29, 54, 0, 0.05, 0, 8, 0.45},     // Fri 19
	}
}

// tenDaysBefore is the outlook of the day before: the front was to come a day later, with the rain on Saturday and
// the wind on Monday.
func tenDaysBefore() []outlook {
	return []outlook{
		{30, 52, 0, 0.00, 0, 8, 0.50},     // Tue 9
		{32, 55, 0, 0.00, 0, 7, 0.48},     // Wed 10
		{35, 57, 0, 0.05, 0, 6, 0.52},     // Thu 11
		{37, 56, 0, 0.15, 0, 8, 0.60},     // Fri 12
		{39, 51, 0.55, 0.85, 0, 9, 0.82},  // Sat 13
		{35, 46, 0.02, 0.40, 0, 11, 0.75}, // Sun 14
		{26, 40, 0, 0.10, 0, 24, 0.45},    // Mon 15
		{10, 27, 0.08, 0.50, 1, 13, 0.70}, // Tue 16
		{5, 24, 0.02, 0.30, 1, 9, 0.70},   // Wed 17
		{10, 31, 0, 0.10, 0, 8, 0.62},     // Thu 18
	}
}

// forStation bends the outlook to a station: at Divide East the rain comes on Saturday, South Ford gets a
// tenth of an inch in two showers.
func (s site) forStation(days []outlook) []outlook {
	const friday, saturday = 2, 3
	switch s.id {
	case "divide-east":
		days[friday].rain, days[friday].chance = 0.04, 0.55
		days[saturday].rain, days[saturday].chance = 0.57, 0.85
	case "south-ford":
		days[friday].rain, days[friday].chance = 0.04, 0.35
		days[saturday].rain, days[saturday].chance = 0.06, 0.35
		for i := range days {
			days[i].high++
		}
	case "sallow-head":
		for i := range days {
			days[i].low--
		}
	}
	return days
}

// writeForecasts enters what the weather desk issued this morning, before sunrise in the field, and what it had
// issued the morning before: at Sallow Head, where the rain comes a day earlier now, the day that was advised is none
// any more.
func writeForecasts(n *notebook) {
	for _, s := range sites() {
		before := tenDaysBefore()
		if s.id == "south-ford" { // the rain was never sure there
			before[4].rain, before[4].chance = 0.08, 0.35
		}
		n.writeForecast(s, Today().Add(-1), before)
		n.writeForecast(s, Today(), s.forStation(tenDays()))
	}
}

func (n *notebook) writeForecast(s site, day calendar.Day, days []outlook) {
	issued := day.Time().Add(11 * time.Hour)
	f := &season.Forecast{Station: s.id, Issued: issued, By: weatherDesk, Hours: hoursOf(day, days)}
	for i, o := range days {
		f.Days = append(f.Days, season.ForecastDay{
			WeatherDay: season.WeatherDay{
				Day: day.Add(i), Low: fahrenheit(o.low), High: fahrenheit(o.high),
				Rain: inchesOfWater(o.rain), Snow: inchesOfWater(o.snow),
				Has: season.HasTemperature | season.HasRain | season.HasSnow | season.HasWind | season.HasHumidity,
			},
			RainChance: unit.Fraction(o.chance), Wind: milesPerHour(o.wind), Humidity: unit.Fraction(o.humidity),
		})
	}
	n.writeAt(weatherDesk, day, issued.Add(5*time.Minute), f)
}
