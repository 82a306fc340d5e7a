package climate_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/exchange/daily"
	"culm/internal/opendata"
	"culm/season"

	"github.com/google/go-cmp/cmp"
)

var write = flag.Bool("write", false, "write the documents that these tests keep true")

// TestSimulationDocument keeps docs/weather-simulation.md true: it holds it against what it computes from the
// stations' records. Write it anew with: go test ./agronomy/climate -run Document -write
func TestSimulationDocument(t *testing.T) {
	const path = "../../docs/weather-simulation.md"
	stations := openStations(t)
	var page strings.Builder
	page.WriteString(documentHead)
	writeClosedForm(&page, stations)
	writeBelief(&page, stations)
	writeComparison(&page, stations)
	writeSkill(&page, stations)
	if *write {
		if err := os.WriteFile(path, []byte(page.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	committed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(committed), page.String()); diff != "" {
		t.Errorf("%s no longer says what is computed; write it anew with -write and read what changed:\n%s", path, diff)
	}
}

const documentHead = `# Simulated weather: against the exact law, against measured records, against climatology

Written by a test from the open daily records of two stations: ` + "`go test ./agronomy/climate -run Document -write`" + `
writes it anew; without ` + "`-write`" + ` the test fails when this page and the computation part.

Stations: Manhattan, Kansas (US Climate Reference Network, NOAA; Diamond and others 2013, Bulletin of the American
Meteorological Society 94:489-498), October 2003 to October 2017; Augsburg, Bavaria (Deutscher Wetterdienst, Climate Data
Center, station 232), 2009 to 2018, whose gaps its source says were interpolated. A day is wet from 0.01 in (0.254 mm) on.

`

// station is a measured record and its fit.
type station struct {
	name    string
	record  []season.WeatherDay
	climate *climate.Climate
}

func openStations(t *testing.T) []station {
	t.Helper()
	stations := []station{
		{name: "Manhattan", record: openRecord(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv", daily.Layout{
			Columns: map[string]string{"LST_DATE": "date", "T_DAILY_MAX": "high_c", "T_DAILY_MIN": "low_c", "P_DAILY_CALC": "rain_mm"}, Missing: []float64{-9999},
		})},
		{name: "Augsburg", record: openRecord(t, "wx_augsburg_dwd/dwd_augsburg_daily.csv", daily.Layout{
			Columns: map[string]string{"MESS_DATUM": "date", "TXK": "high_c", "TNK": "low_c", "RSK": "rain_mm"},
		})},
	}
	for i := range stations {
		stations[i].climate = fit(t, stations[i].record)
	}
	return stations
}

func openRecord(t *testing.T, name string, l daily.Layout) []season.WeatherDay {
	t.Helper()
	r, err := daily.NewReader(opendata.Open(t, name), l)
	if err != nil {
		t.Fatal(err)
	}
	var record []season.WeatherDay
	for r.Next() {
		record = append(record, r.Days()...)
	}
	if r.Err() != nil {
		t.Fatal(r.Err())
	}
	return record
}

// writeClosedForm sets the simulator against the exact recursion.
func writeClosedForm(w *strings.Builder, stations []station) {
	w.WriteString(`## The closed form and the simulator

Chance of at least one day of more than the amount, from 10 February on, after a dry day: by the exact recursion for the
Markov chain with gamma amounts, and as the share of 20,000 simulated spells. *Off* is the difference in standard errors.

| station | amount | days | exact | simulated | off |
|---|---:|---:|---:|---:|---:|
`)
	const members = 20_000
	first := day(2027, 2, 10)
	for _, s := range stations {
		simulator := climate.NewSimulator(s.climate, 7)
		days := make([]season.WeatherDay, 21)
		amounts, spans := []unit.Water{5, 6.35, 12.7}, []int{3, 7, 21}
		var hits [3][3]int
		for member := range members {
			simulator.Run(days, first, climate.State{KnowsWet: true}, member)
			for a, over := range amounts {
				for k, span := range spans {
					hits[a][k] += anyOver(days[:span], over)
				}
			}
		}
		for a, over := range amounts {
			for k, span := range spans {
				p := float64(climate.AtLeastOnce(s.climate.Coming(first, span), 0, over))
				share := float64(hits[a][k]) / members
				fmt.Fprintf(w, "| %s | %.2f mm | %d | %.4f | %.4f | %+.1f |\n", s.name, over, span, p, share, (share-p)/math.Sqrt(p*(1-p)/members))
			}
		}
	}
	w.WriteString("\n")
}

// seasons of the comparison.
var seasons = []struct {
	name   string
	months []time.Month
}{
	{"October to March", []time.Month{10, 11, 12, 1, 2, 3}},
	{"April to September", []time.Month{4, 5, 6, 7, 8, 9}},
}

// statistics that are compared.
var statistics = []struct {
	name, unit string
	decimals   int
	of         func(*climate.Description) float64
}{
	{"wet days", "% of days", 1, func(d *climate.Description) float64 { return 100 * float64(d.WetShare) }},
	{"mean on a wet day", "mm", 2, func(d *climate.Description) float64 { return float64(d.Amount) }},
	{"exceeded on one wet day in a hundred", "mm", 1, func(d *climate.Description) float64 { return float64(d.Large) }},
	{"mean wet spell", "days", 2, func(d *climate.Description) float64 { return d.WetSpell }},
	{"mean dry spell", "days", 2, func(d *climate.Description) float64 { return d.DrySpell }},
	{"longest dry spell", "days", 0, func(d *climate.Description) float64 { return float64(d.LongDry) }},
	{"spread of monthly rain between years", "mm", 1, func(d *climate.Description) float64 { return float64(d.MonthSpread) }},
	{"temperature with the day before", "correlation", 3, func(d *climate.Description) float64 { return d.Memory }},
	{"spread of daily temperature", "°C", 2, func(d *climate.Description) float64 { return float64(d.TemperatureSpread) }},
}

// replicates is how many records as long as the measured one, with the same gaps, are simulated.
const replicates = 500

// writeComparison sets measured records against simulated ones.
func writeComparison(w *strings.Builder, stations []station) {
	fmt.Fprintf(w, `## Measured and simulated records

%d simulated records of the same days, with the same gaps. The measured number should lie within the middle 95 %% of the
simulated ones; *outside* marks where it does not. Temperatures are departures from the months' own averages. The parameters
come from the same records, so that wet days and mean amounts agree is the least to ask; spells, large amounts, the
months' spread and the memory of temperature were not fitted as such.

| station | months | | measured | simulated, 2.5 %% | median | 97.5 %% | |
|---|---|---|---:|---:|---:|---:|---|
`, replicates)
	missed, all := 0, 0
	for _, s := range stations {
		simulated := simulatedStatistics(s)
		for i, part := range seasons {
			measured := climate.Describe(s.record, climate.WetFrom, part.months...)
			for k, statistic := range statistics {
				v, low, middle, high := statistic.of(&measured), quantile(simulated[i][k], 0.025), quantile(simulated[i][k], 0.5), quantile(simulated[i][k], 0.975)
				verdict := ""
				all++
				if v < low || v > high {
					verdict = "**outside**"
					missed++
				}
				number := func(v float64) string { return fmt.Sprintf("%.*f", statistic.decimals, v) }
				fmt.Fprintf(w, "| %s | %s | %s, %s | %s | %s | %s | %s | %s |\n", s.name, part.name, statistic.name, statistic.unit, number(v), number(low), number(middle), number(high), verdict)
			}
		}
	}
	fmt.Fprintf(w, "\n%d of %d lie outside; one in twenty would by chance.\n\n%s", missed, all, comparisonWords)
}

// simulatedStatistics gives the statistics of the replicates by season and statistic.
func simulatedStatistics(s station) [][][]float64 {
	all := make([][][]float64, len(seasons))
	for i := range all {
		all[i] = make([][]float64, len(statistics))
	}
	simulator := climate.NewSimulator(s.climate, 11)
	days := make([]season.WeatherDay, len(s.record)) // the record holds every day from its first to its last
	for member := range replicates {
		simulator.Run(days, s.record[0].Day, climate.State{}, member)
		for i := range days {
			days[i].Has &= s.record[i].Has
		}
		for i, part := range seasons {
			d := climate.Describe(days, climate.WetFrom, part.months...)
			for k, statistic := range statistics {
				all[i][k] = append(all[i][k], statistic.of(&d))
			}
		}
	}
	return all
}
