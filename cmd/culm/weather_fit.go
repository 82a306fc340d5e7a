package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/exchange/daily"
	"culm/exchange/ghcn"
	"culm/season"
)

type weatherFitCommand struct {
	File          string            `arg:"" help:"Daily record: a CSV like those of a season's weather folder, or a file of the Global Historical Climatology Network (.dly or CSV)."`
	Station       string            `help:"Only this station, where the file has several."`
	Column        map[string]string `help:"What a column of the CSV is, where its name does not say, as TMAX=high_c." placeholder:"NAME=MEANING"`
	Missing       []float64         `help:"Numbers of the CSV that stand for a value that is missing, such as -9999."`
	WetFrom       float64           `default:"0.254" help:"Rain in mm that makes a day wet; 0.254 is a hundredth of an inch."`
	MorningReader bool              `help:"The observer of a network's station reads in the morning, where the file does not give the hour."`
	Units         string            `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	JSON          bool              `name:"json" help:"Print as JSON."`
}

// stationFit is one station in the JSON of culm weather fit (culm.weather-fit/1). Rain is in mm, temperature in
// °C, shares are of one, spells in days.
type stationFit struct {
	Station string `json:"station"`
	// Year and Months describe the record itself, Climate the laws fitted to it.
	Year    climate.Description     `json:"year"`
	Months  [12]climate.Description `json:"months"` // January first
	Climate *climate.Climate        `json:"climate"`
	Doubts  []season.Problem        `json:"doubts"`
}

// Run fits every station of the file, or the one that was asked for.
func (c *weatherFitCommand) Run(d *door) error {
	if !(c.WetFrom > 0 && c.WetFrom <= 25) {
		return failWith(exitUsage, "--wet-from is %v mm; expected more than 0 and at most 25", c.WetFrom)
	}
	var fits []stationFit
	err := c.records(d, func(station string, record []season.WeatherDay) error {
		if c.Station != "" && station != c.Station {
			return nil
		}
		fit, err := c.fit(station, record)
		if err != nil {
			return failWith(exitBadInput, "%s: %w", placeOf(c.File, station), err)
		}
		if c.JSON {
			fits = append(fits, fit)
			return nil
		}
		fits = append(fits[:0], fit)
		return printFit(d.out, placeOf(filepath.Base(c.File), station), fit, unitsOf(c.Units, nil))
	})
	switch {
	case err != nil:
		return err
	case len(fits) == 0 && c.Station != "":
		return failWith(exitBadInput, "%s has no station %s", c.File, c.Station)
	case len(fits) == 0:
		return failWith(exitBadInput, "%s has no day of weather", c.File)
	case !c.JSON:
		return nil
	}
	enc := json.NewEncoder(d.out)
	enc.SetIndent("", "  ")
	return enc.Encode(map[string]any{"version": "culm.weather-fit/1", "stations": fits})
}

func placeOf(file, station string) string {
	if station == "" {
		return file
	}
	return file + ", station " + station
}

// records reads the file, of whichever kind it is, and calls for each of its stations.
func (c *weatherFitCommand) records(d *door, each func(string, []season.WeatherDay) error) error {
	f, err := os.Open(c.File)
	if err != nil {
		return failWith(exitBadInput, "no record to read: %w", err)
	}
	defer f.Close()
	in := bufio.NewReaderSize(f, 1<<16)
	start, err := in.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		return failWith(exitBadInput, "%s: %w", c.File, err)
	}
	if len(c.Column) == 0 && ghcn.IsRecord(bytes.Clone(start)) {
		record, problems, err := ghcn.Read(in, ghcn.Options{File: c.File, Station: c.Station, MorningReader: c.MorningReader})
		printProblems(d.err, problems)
		if err != nil {
			return failWith(exitBadInput, "%s: %w", c.File, err)
		}
		return each(record.Station, record.Days)
	}
	r, err := daily.NewReader(in, daily.Layout{Columns: c.Column, Missing: c.Missing})
	if err != nil {
		return failWith(exitBadInput, "%s: %w", c.File, err)
	}
	for r.Next() {
		if err := each(r.Station(), r.Days()); err != nil {
			return err
		}
	}
	if r.Err() != nil {
		return failWith(exitBadInput, "%s: %w", c.File, r.Err())
	}
	if n := r.Lone(); n > 0 {
		printProblems(d.err, []season.Problem{{
			Severity: season.Doubtful, File: c.File,
			Message: plural(n, "day") + " with only one of the two temperatures, which gives no mean and is left out",
		}})
	}
	return nil
}

// fit fits one station. Parts of days that no station measures are left out; the rest of the doubts are told.
func (c *weatherFitCommand) fit(station string, record []season.WeatherDay) (stationFit, error) {
	fit := stationFit{Station: station, Doubts: []season.Problem{}}
	if fahrenheit, found := weather.LooksFahrenheit(record); fahrenheit {
		return fit, fmt.Errorf("the temperatures look like Fahrenheit in a Celsius column (%s); name the columns low_f and high_f", found)
	}
	for _, doubt := range weather.Check(record) {
		p := doubt.Problem
		p.File = c.File
		p.Message = doubt.Day.String() + ": " + p.Message
		fit.Doubts = append(fit.Doubts, p)
		if p.Severity == season.Fatal {
			leaveOut(record, doubt.Day, p.Field)
		}
	}
	wetFrom := unit.Water(c.WetFrom)
	var err error
	fit.Climate, err = climate.Fit(record, climate.Options{WetFrom: wetFrom})
	if err != nil {
		return fit, err
	}
	fit.Year = climate.Describe(record, wetFrom)
	for m := range fit.Months {
		fit.Months[m] = climate.Describe(record, wetFrom, time.Month(m+1))
	}
	return fit, nil
}

// leaveOut takes out of a record the part of a day that cannot be.
func leaveOut(record []season.WeatherDay, day calendar.Day, field string) {
	for i := range record {
		if record[i].Day != day {
			continue
		}
		switch field {
		case "low", "high":
			record[i].Has &^= season.HasTemperature
		case "rain":
			record[i].Has &^= season.HasRain
		}
	}
}

func printFit(w io.Writer, name string, fit stationFit, s unit.System) error {
	c := fit.Climate
	t := terminal{w: w, units: s}
	t.wrap("", "", fmt.Sprintf("%s: %s to %s, %s with rain known, %s. A day is wet from %s on.", name, c.First, c.Last,
		plural(fit.Year.Days, "day"), withTemperature(c), inches(c.WetFrom, s, 2)))
	for _, p := range fit.Doubts {
		t.wrap("  doubt ", "        ", p.Message+": "+p.Found)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, "Measured")
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	water, degrees := unit.Symbol(unit.KindWater, s), unit.Symbol(unit.KindTemperature, s)
	fmt.Fprintf(table, "\tdays\twet\ton a wet day, %s\t1 in 100 above, %s\twet spell\tdry spell\tlongest dry\t\n", water, water)
	for m := range fit.Months {
		measuredRow(table, time.Month(m + 1).String()[:3], &fit.Months[m], s)
	}
	measuredRow(table, "year", &fit.Year, s)
	if err := table.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "\nFitted: chance of a wet day, law of its amount, usual temperature in %s, and what follows\n", degrees)
	table = tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "\tafter dry\tafter wet\tof days\tshape\tscale, %s\tof days\tdry day\twet day\tspread\tmemory\t%s in 7 d\t\n", water, inches(climate.HalfInch, s, 1))
	for m := range c.Months {
		fittedRow(table, c, &c.Months[m], s)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	t.wrap("", "", fmt.Sprintf("A month leans on the two beside it and on the year as if %d days of theirs were its own; \"of days\" are its own days, after dry and wet ones, and its wet days. "+
		"The last column is the exact chance of at least one day above that amount within seven days from the 15th on, when it was dry on the 14th.", climate.Belief))
	return nil
}

func withTemperature(c *climate.Climate) string {
	n := 0
	for m := range c.Months {
		n += c.Months[m].Days.Temperature
	}
	if n == 0 {
		return "none with temperature"
	}
	return fmt.Sprintf("%d with temperature too", n)
}

// inches shows an amount of rain with the decimals it is spoken with.
func inches(v unit.Water, s unit.System, decimals int) string {
	return fmt.Sprintf("%.*f %s", decimals, unit.Convert(unit.KindWater, float64(v), s), unit.Symbol(unit.KindWater, s))
}

func measuredRow(w io.Writer, name string, d *climate.Description, s unit.System) {
	if d.Days == 0 {
		fmt.Fprintf(w, "%s\tnone\t\t\t\t\t\t\t\n", name)
		return
	}
	fmt.Fprintf(w, "%s\t%d\t%.1f %%\t%s\t%s\t%.1f d\t%.1f d\t%d d\t\n", name, d.Days, 100*float64(d.WetShare),
		numberOf(unit.KindWater, float64(d.Amount), s), numberOf(unit.KindWater, float64(d.Large), s), d.WetSpell, d.DrySpell, d.LongDry)
}

func fittedRow(w io.Writer, c *climate.Climate, m *climate.Month, s unit.System) {
	r := m.Rain
	dry, wet, spread, memory := "-", "-", "-", "-"
	if c.KnowsTemperature() {
		dry, wet = numberOf(unit.KindTemperature, float64(m.Dry.Mean), s), numberOf(unit.KindTemperature, float64(m.Wet.Mean), s)
		degree := unit.Convert(unit.KindTemperature, 1, s) - unit.Convert(unit.KindTemperature, 0, s)
		spread = fmt.Sprintf("%.1f", degree*float64(m.Dry.Spread))
		memory = fmt.Sprintf("%.2f", m.Memory.Lag[0][0])
	}
	within := climate.AtLeastOnce(c.Coming(calendar.Date(2001, m.Month, 15), 7), 0, climate.HalfInch)
	fmt.Fprintf(w, "%s\t%.1f %%\t%.1f %%\t%d+%d\t%.2f\t%s\t%d\t%s\t%s\t%s\t%s\t%.0f %%\t\n", m.Month.String()[:3],
		100*float64(r.AfterDry), 100*float64(r.AfterWet), m.Days.AfterDry, m.Days.AfterWet,
		float64(r.Shape), numberOf(unit.KindWater, float64(r.Scale), s), m.Days.Wet, dry, wet, spread, memory, 100*float64(within))
}

func numberOf(k unit.Kind, base float64, s unit.System) string { return unit.Show(k, base, s).Number }
