package ground_test

import (
	"encoding/csv"
	"strconv"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/internal/opendata"
	"culm/season"
)

// measured is a day of a station that measures the soil too.
type measured struct {
	ground.Day
	soil5, soil10         float64 // °C
	hasSoil               bool
	moisture5, moisture10 float64 // share of volume
	hasMoisture           bool
	solar                 float64 // MJ per square metre
	hasSolar              bool
}

// seasonOf is the harvest year a day belongs to: July to June.
func seasonOf(d calendar.Day) int {
	year := d.Time().Year()
	if d.Time().Month() >= time.July {
		year++
	}
	return year
}

// Every second season is for fitting, the ones between for testing. This was settled before anything was fitted.
func fits(d calendar.Day) bool  { return seasonOf(d)%2 == 0 }
func tests(d calendar.Day) bool { return !fits(d) }

func monthIn(d calendar.Day, months ...time.Month) bool {
	for _, m := range months {
		if d.Time().Month() == m {
			return true
		}
	}
	return false
}

// inUse is the part of the year that the soil's temperature is asked for in.
func inUse(d calendar.Day) bool {
	return monthIn(d, time.October, time.November, time.December, time.January, time.February, time.March, time.April)
}

func inWinter(d calendar.Day) bool {
	return monthIn(d, time.November, time.December, time.January, time.February, time.March)
}

const manhattanLatitude = 39.1

// manhattan is the record of the US Climate Reference Network at Manhattan, Kansas, 2003 to 2017; soil from August
// 2009 on.
func manhattan(t testing.TB) []measured {
	t.Helper()
	var days []measured
	for _, row := range table(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv") {
		m := measured{Day: dayOf(t, "20060102", row["LST_DATE"])}
		low, hasLow := number(row["T_DAILY_MIN"])
		high, hasHigh := number(row["T_DAILY_MAX"])
		if hasLow && hasHigh {
			m.Low, m.High, m.Has = unit.Temperature(low), unit.Temperature(high), season.HasTemperature
		}
		if rain, ok := number(row["P_DAILY_CALC"]); ok {
			m.Rain, m.Has = unit.Water(rain), m.Has|season.HasRain
		}
		var has5, has10 bool
		m.soil5, has5 = number(row["SOIL_TEMP_5_DAILY"])
		m.soil10, has10 = number(row["SOIL_TEMP_10_DAILY"])
		m.hasSoil = has5 && has10
		m.moisture5, has5 = number(row["SOIL_MOISTURE_5_DAILY"])
		m.moisture10, has10 = number(row["SOIL_MOISTURE_10_DAILY"])
		m.hasMoisture = has5 && has10
		m.solar, m.hasSolar = number(row["SOLARAD_DAILY"])
		days = append(days, m)
	}
	return days
}

// augsburg is the record of the Deutscher Wetterdienst at Augsburg, 2009 to 2018, with the depth of snow measured.
func augsburg(t testing.TB) []ground.Day {
	t.Helper()
	var days []ground.Day
	for _, row := range table(t, "wx_augsburg_dwd/dwd_augsburg_daily.csv") {
		d := dayOf(t, "2006-01-02", row["MESS_DATUM"])
		low, _ := number(row["TNK"])
		high, _ := number(row["TXK"])
		rain, hasRain := number(row["RSK"])
		snow, hasSnow := number(row["SHK_TAG"])
		d.Low, d.High, d.Has = unit.Temperature(low), unit.Temperature(high), season.HasTemperature
		if hasRain {
			d.Rain, d.Has = unit.Water(rain), d.Has|season.HasRain
		}
		if hasSnow {
			d.Snow, d.SnowLies, d.Has = unit.Water(10*snow), true, d.Has|season.HasSnow
		}
		days = append(days, d)
	}
	return days
}

func weatherOf(days []measured) []ground.Day {
	weather := make([]ground.Day, len(days))
	for i, d := range days {
		weather[i] = d.Day
	}
	return weather
}

func dayOf(t testing.TB, layout, cell string) ground.Day {
	t.Helper()
	at, err := time.Parse(layout, cell)
	if err != nil {
		t.Fatal(err)
	}
	return ground.Day{Day: calendar.FromTime(at)}
}

// table reads a CSV data set into rows by column name.
func table(t testing.TB, name string) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, name)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, column := range rows[0] {
			m[column] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// number reads a cell; empty and the codes -99 and -9999 are missing.
func number(cell string) (float64, bool) {
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && v > -99
}
