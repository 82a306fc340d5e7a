package weather_test

import (
	"encoding/csv"
	"strconv"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/internal/opendata"
	"culm/season"
)

// table reads a CSV data set into rows by column name.
func table(t *testing.T, name string) []map[string]string {
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

// record makes weather days out of rows, from the named columns. An empty snow column means not measured;
// snow is in cm.
func record(t *testing.T, rows []map[string]string, layout, day, low, high, rain, snow string) []season.WeatherDay {
	t.Helper()
	var days []season.WeatherDay
	for _, row := range rows {
		at, err := time.Parse(layout, row[day])
		if err != nil {
			t.Fatal(err)
		}
		d := season.WeatherDay{Day: calendar.FromTime(at)}
		l, hasLow := number(row[low])
		h, hasHigh := number(row[high])
		if hasLow && hasHigh {
			d.Low, d.High, d.Has = unit.Temperature(l), unit.Temperature(h), season.HasTemperature
		}
		if v, ok := number(row[rain]); ok {
			d.Rain, d.Has = unit.Water(v), d.Has|season.HasRain
		}
		if v, ok := number(row[snow]); ok {
			d.Snow, d.Has = unit.Water(10*v), d.Has|season.HasSnow
		}
		days = append(days, d)
	}
	return days
}

// augsburg is the record of the station Augsburg of the Deutscher Wetterdienst, 2009 to 2018.
func augsburg(t *testing.T) []season.WeatherDay {
	t.Helper()
	rows := table(t, "wx_augsburg_dwd/dwd_augsburg_daily.csv")
	return record(t, rows, "2006-01-02", "MESS_DATUM", "TNK", "TXK", "RSK", "SHK_TAG")
}

// manhattan is the record of the station of the US Climate Reference Network at Manhattan, Kansas, 2003 to
// 2017, with the measured soil temperatures at 5 and 10 cm by day.
func manhattan(t *testing.T) (days []season.WeatherDay, at5, at10 map[calendar.Day]float64) {
	t.Helper()
	rows := table(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv")
	days = record(t, rows, "20060102", "LST_DATE", "T_DAILY_MIN", "T_DAILY_MAX", "P_DAILY_CALC", "")
	at5, at10 = map[calendar.Day]float64{}, map[calendar.Day]float64{}
	for i, row := range rows {
		if v, ok := number(row["SOIL_TEMP_5_DAILY"]); ok {
			at5[days[i].Day] = v
		}
		if v, ok := number(row["SOIL_TEMP_10_DAILY"]); ok {
			at10[days[i].Day] = v
		}
	}
	return days, at5, at10
}

// kleinAltendorf is the record of Klein-Altendorf in the Rhineland, 1998 to 2010, temperature only.
func kleinAltendorf(t *testing.T) []season.WeatherDay {
	t.Helper()
	rows := table(t, "wx_klein_altendorf/ka_daily.csv")
	for _, row := range rows {
		row["day"] = row["Year"] + "-" + row["Month"] + "-" + row["Day"]
	}
	return record(t, rows, "2006-1-2", "day", "Tmin", "Tmax", "", "")
}

func isWinter(d calendar.Day) bool {
	month := d.Time().Month()
	return month >= time.November || month <= time.March
}
