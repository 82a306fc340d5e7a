package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/internal/opendata"
)

// TestRealWeather puts a season together by hand around the weather that a climate station near Manhattan,
// Kansas, really measured (NOAA USCRN daily, Diamond et al. 2013, BAMS 94:489) and asks for advice on 10 March
// 2014. The forecast is what the station then measured on the ten days that followed. Field, readings, soil
// test and prices are invented.
//
// The plan must say the same in the terminal, as JSON, as HTML and as PDF.
func TestRealWeather(t *testing.T) {
	source := opendata.Open(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv")
	dir := t.TempDir()
	season := filepath.Join(dir, "season")
	writeRealSeason(t, season, source)

	out := culm(t, 0, "check", season, "--date", "2014-03-10")
	t.Log(strings.TrimSpace(out))

	terminal := flat(culm(t, 0, "advise", season, "--date", "2014-03-10", "--out", filepath.Join(dir, "pages")))
	var doc adviceDocument
	if err := json.Unmarshal([]byte(culm(t, 0, "advise", season, "--date", "2014-03-10", "--json")), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Plans) != 1 {
		t.Fatalf("%d plans, want 1", len(doc.Plans))
	}
	plan := &doc.Plans[0]
	sentence := flat(plan.Sentence.Read(&plan.Figures, unit.US))
	t.Log(sentence)
	if plan.Decision.Action != advice.Spread {
		t.Errorf("action %s, want spread: the strip shows and the crop is short of nitrogen", plan.Decision.Action)
	}
	if !strings.Contains(terminal, sentence) {
		t.Errorf("the terminal does not say %q", sentence)
	}
	html, err := os.ReadFile(filepath.Join(dir, "pages", "section-9.html"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(flat(withoutTags(string(html))), sentence) {
		t.Errorf("the page in HTML does not say %q", sentence)
	}
	pdf, err := exec.Command("pdftotext", "-raw", filepath.Join(dir, "pages", "section-9.pdf"), "-").Output()
	if err != nil {
		t.Skip("SKIPPED: pdftotext (Debian package poppler-utils) is not here, so the PDF was not read back")
	}
	if !strings.Contains(flat(string(pdf)), sentence) {
		t.Errorf("the page in PDF does not say %q", sentence)
	}
}

// culm runs a command and checks its exit code.
func culm(t *testing.T, want int, args ...string) string {
	t.Helper()
	var out, problems bytes.Buffer
	d := &door{out: &out, err: &problems, now: time.Now}
	if code := run(context.Background(), d, args); code != want {
		t.Fatalf("culm %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, out.String(), problems.String())
	}
	return out.String()
}

// flat drops what the width of a line changes.
func flat(s string) string {
	s = strings.NewReplacer("\u202f", " ", "\u00a0", " ", "&#39;", "'", "&amp;", "&").Replace(s)
	return strings.Join(strings.Fields(s), " ")
}

func withoutTags(html string) string {
	var b strings.Builder
	inside := false
	for _, r := range html {
		switch {
		case r == '<':
			inside = true
		case r == '>':
			inside = false
		case !inside:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// writeRealSeason writes a season folder with a field near the station.
func writeRealSeason(t *testing.T, dir string, uscrn io.Reader) {
	t.Helper()
	weather, forecast := realWeather(t, uscrn)
	files := map[string]string{
		"season.yaml": `season:
  name: Winter 2013/14
  district: Around a climate station
  advisor: An Advisor
  invented: yes
  harvest-year: 2014
  units: us
producers:
  - {id: p, name: An Invented Producer}
stations:
  - {id: uscrn, name: Climate station, lat: 39.1, lon: -96.61}
fields:
  - id: section-9
    name: Section 9
    producer: p
    crop: wheat-grain
    station: uscrn
    planted: 2013-10-03
    tillage: tilled
    texture: silt-loam
    previous-crop: wheat
    yield-goal: 60 bu/ac
    area: 120 ac
`,
		"boundaries.geojson": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"field":"section-9"},
"geometry":{"type":"Polygon","coordinates":[[[-96.63,39.11],[-96.624,39.11],[-96.624,39.117],[-96.63,39.117],[-96.63,39.11]]]}}]}`,
		"readings.csv":       realReadings(),
		"soil.csv":           "sample,field,date,lab,top_in,bottom_in,nitrate_n_ppm,organic_matter_pct,ph\nA,section-9,2013-09-12,A Laboratory,0,24,5,2.0,6.3\n",
		"prices.csv":         "item,price,low,high,unit,date,by\nwheat,6.80,6.00,7.60,$/bu,2014-03-07,An Advisor\nurea,520,490,560,$/ton,2014-03-07,An Advisor\nuan-28,340,320,360,$/ton,2014-03-07,An Advisor\npass/broadcast,6.5,,,$/ac,2014-03-07,An Advisor\npass/stream,7.5,,,$/ac,2014-03-07,An Advisor\n",
		"visits.csv":         "field,date,observer,scale,stage,residue_pct,stand_pct\nsection-9,2014-03-08,A Scout,feekes,4,8,95\n",
		"weather/uscrn.csv":  weather,
		"forecast/uscrn.csv": forecast,
		"applied.csv":        "field,date,product,n_lb_ac,by\nsection-9,2013-10-03,urea,30,An Invented Producer\n",
	}
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// realReadings are twelve pairs along a strip that shows.
func realReadings() string {
	var b strings.Builder
	b.WriteString("field,strip,date,observer,instrument,reference,means,pair,place,value\n")
	beside := []float64{0.48, 0.47, 0.50, 0.49, 0.46, 0.48, 0.51, 0.49, 0.47, 0.50, 0.48, 0.49}
	for i, v := range beside {
		fmt.Fprintf(&b, "section-9,A,2014-03-08,A Scout,hand-held sensor,strip,sensor,%d,beside,%.2f\n", i+1, v)
		fmt.Fprintf(&b, "section-9,A,2014-03-08,A Scout,hand-held sensor,strip,sensor,%d,reference,%.3f\n", i+1, v*1.28+0.004*float64(i%3-1))
	}
	return b.String()
}

// realWeather takes the season up to 9 March 2014 as record and the ten days from the 10th as forecast.
func realWeather(t *testing.T, uscrn io.Reader) (record, forecast string) {
	t.Helper()
	rows, err := csv.NewReader(uscrn).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	measured := func(row []string, name string) string {
		if v := row[column[name]]; v != "-9999" {
			return v
		}
		return ""
	}
	var past, coming strings.Builder
	past.WriteString("date,low_c,high_c,rain_mm\n")
	coming.WriteString("issued,date,low_c,high_c,rain_mm,rain_chance_pct\n")
	for _, row := range rows[1:] {
		day, err := time.Parse("20060102", row[column["LST_DATE"]])
		if err != nil {
			t.Fatal(err)
		}
		date := day.Format("2006-01-02")
		line := strings.Join([]string{date, measured(row, "T_DAILY_MIN"), measured(row, "T_DAILY_MAX"), measured(row, "P_DAILY_CALC")}, ",")
		switch {
		case date >= "2013-09-01" && date <= "2014-03-09":
			past.WriteString(line + "\n")
		case date >= "2014-03-10" && date <= "2014-03-19":
			coming.WriteString("2014-03-10T06:00:00-06:00," + line + ",80\n")
		}
	}
	return past.String(), coming.String()
}
