package advice_test

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/internal/opendata"
	"culm/season"
)

var updateReplay = flag.Bool("update-replay", false, "write docs/day-replay.md anew")

// The replay: winters of a real station are lived through day by day, with forecasts made by blurring what really
// came. On each day the advice is asked; on the day it names as today, urea is spread. What it then loses is reckoned
// from the weather that really came, and set against spreading on 1 February and on the first Monday of the month.

const (
	replayRate   = 60 * unit.PoundPerAcre
	forecastDays = 10
	replayDraws  = 10 // of the forecasts' errors
	// even is the difference, of the nitrogen spread, within which two days are told to have done as well.
	even = unit.Fraction(0.005)
)

// manhattan is the record of the US Climate Reference Network at Manhattan, Kansas, October 2003 to October 2017.
func manhattan(t *testing.T) []season.WeatherDay {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int { return slices.Index(rows[0], name) }
	date, high, low, rain := column("LST_DATE"), column("T_DAILY_MAX"), column("T_DAILY_MIN"), column("P_DAILY_CALC")
	var days []season.WeatherDay
	for _, row := range rows[1:] {
		day, err := time.Parse("20060102", row[date])
		if err != nil {
			t.Fatal(err)
		}
		d := season.WeatherDay{Day: calendar.FromTime(day)}
		h, hasHigh := measured(row[high])
		l, hasLow := measured(row[low])
		if hasHigh && hasLow {
			d.Low, d.High, d.Has = unit.Temperature(l), unit.Temperature(h), season.HasTemperature
		}
		if r, ok := measured(row[rain]); ok {
			d.Rain, d.Has = unit.Water(r), d.Has|season.HasRain
		}
		days = append(days, d)
	}
	return days
}

// measured reads a number of the network, whose -9999 means that nothing was measured.
func measured(s string) (float64, bool) {
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && v > -99
}

// imitator issues forecasts of what really came, blurred.
//
// Temperature is off by an error that grows with the lead as published for one office of the US weather service
// (cite.MilwaukeeVerification): 2.5 F on the first day to 5.5 F on the seventh, as mean errors, and hangs together from
// day to day.
//
// Of rain the forecaster knows, with a chance that falls with the lead, whether the day is wet; otherwise it draws from
// the climate. It says the chance that is true for what it says, so that its chances are calibrated. Its Brier skill
// over climatology is the square of that chance of knowing: 49 % on the first day, 18 % on the fifth, 8 % on the
// seventh. From memory that is what chances of rain of weather services reach; it is less than the forecasts' error
// that the advice itself reckons with, so that the advice is not helped by knowing how its forecasts were made. An
// amount is off by a gamma factor as wide as in culm/agronomy/climate; it is from memory too.
type imitator struct {
	real  map[calendar.Day]season.WeatherDay
	usual *climate.Climate
	draw  uint64
}

func knows(lead int) float64 { return max(0, 0.7-0.07*float64(lead-1)) }

func (m imitator) issue(today calendar.Day) *season.Forecast {
	f := &season.Forecast{Station: "manhattan", Issued: today.Time().Add(11 * time.Hour), By: "imitated"}
	r := rand.New(rand.NewPCG(m.draw, uint64(today.Sub(calendar.Date(2000, 1, 1)))))
	off := r.NormFloat64()
	for lead := 1; lead <= forecastDays; lead++ {
		day := today.Add(lead - 1)
		real, ok := m.real[day]
		if !ok {
			break
		}
		d := season.ForecastDay{WeatherDay: season.WeatherDay{Day: day, Has: real.Has}}
		off = 0.7*off + math.Sqrt(1-0.7*0.7)*r.NormFloat64()
		miss := unit.Temperature(math.Sqrt(math.Pi/2) * (2.5 + 0.5*float64(lead-1)) / 1.8 * off)
		d.Low, d.High = real.Low+miss, real.High+miss
		if real.Has&season.HasRain != 0 {
			m.rain(&d, real.Rain, lead, r)
		}
		f.Days = append(f.Days, d)
	}
	return f
}

// rain says chance and amount. What is known of a day stays known as the day comes nearer.
func (m imitator) rain(d *season.ForecastDay, real unit.Water, lead int, r *rand.Rand) {
	law := m.usual.On(d.Day)
	usual, k := float64(law.WetShare()), knows(lead)
	of := rand.New(rand.NewPCG(m.draw^0x9e3779b97f4a7c15, uint64(d.Day.Sub(calendar.Date(2000, 1, 1)))))
	isKnown := of.Float64() < k
	saysWet, amount := of.Float64() < usual, law.Quantile(unit.Fraction(of.Float64()))
	if isKnown {
		saysWet, amount = real >= climate.WetFrom, real*unit.Water(blur(lead, r))
	}
	d.RainChance = unit.Fraction((1 - k) * usual)
	if saysWet {
		d.Rain, d.RainChance = amount, unit.Fraction(k+(1-k)*usual)
	}
}

// blur is a gamma factor of mean one; the shape falls from 3 on the first day to 1 on the seventh. For whole and half
// shapes a gamma number is a sum of squares of normal ones.
func blur(lead int, r *rand.Rand) float64 {
	twice := int(math.Round(2 * max(1, 3-float64(lead-1)/3)))
	sum := 0.0
	for range twice {
		n := r.NormFloat64()
		sum += n * n / 2
	}
	return sum / (float64(twice) / 2)
}

// replayField is a field of which all is known that decides, and on which only urea can be had.
func replayField(record []season.WeatherDay, today calendar.Day) season.FieldSeason {
	year := today.Time().Year()
	known := func(v unit.Yield) working.Fact[unit.Yield] {
		return working.Fact[unit.Yield]{Value: v, Origin: working.Origin{Kind: working.Setting}}
	}
	price := func(item string, p unit.PricePerMass) *season.Price {
		return &season.Price{Item: item, Price: p, Low: p, High: p, Day: today}
	}
	n, _ := slices.BinarySearchFunc(record, today, func(d season.WeatherDay, day calendar.Day) int { return d.Day.Sub(day) })
	return season.FieldSeason{
		Today: today, Settings: season.Settings{HarvestYear: year, Units: unit.US},
		Field: season.Field{
			ID: "replay", Name: "Replay", Crop: season.WheatGrain, Station: "manhattan", Planted: calendar.Date(year-1, time.October, 5),
			Tillage: season.NoTill, Texture: season.SiltLoam, YieldGoal: known(3500),
		},
		Station: &season.Station{ID: "manhattan", Name: "Manhattan", At: season.Position{Lon: -96.61, Lat: 39.1}},
		Weather: record[:n],
		Prices: []*season.Price{
			price("wheat", 0.20), price("urea", 0.55), {Item: "pass/broadcast", Pass: 8 * unit.PerAcre, Day: today},
		},
	}
}

// winter is what came of one winter.
type winter struct {
	year     int
	monday   calendar.Day
	first    outcome // spread on 1 February
	mondayOn outcome
	open     outcome // on the first day from 1 February on whose ground was open
	best     outcome // of the days in hindsight on which the ground was open
	advised  []outcome
}

// outcome is a day of spreading and the share of urea's nitrogen that was delivered.
type outcome struct {
	day       calendar.Day
	delivered unit.Fraction
	closed    string // why nothing should have been spread
}

// replay lives through the winters.
type replay struct {
	record []season.WeatherDay
	real   map[calendar.Day]season.WeatherDay
	usual  *climate.Climate
	urea   fertilizer.Product
}

func newReplay(t *testing.T) *replay {
	t.Helper()
	r := &replay{record: manhattan(t), real: map[calendar.Day]season.WeatherDay{}}
	for _, d := range r.record {
		r.real[d.Day] = d
	}
	var err error
	if r.usual, err = climate.Fit(r.record, climate.Options{}); err != nil {
		t.Fatal(err)
	}
	r.urea, _ = fertilizer.Find(fertilizer.UreaKey)
	return r
}

// on reckons what urea spread on a day delivered, from the weather that came. Nothing is taken off for ground that was
// closed, in favour of who spreads on it all the same.
func (r *replay) on(t *testing.T, day calendar.Day) outcome {
	t.Helper()
	loss, err := ammonia.Expect(ammonia.Spreading{Product: r.urea, Day: day, Weather: ammonia.Days(r.record, nil), At: &season.Position{Lat: 39.1}})
	if err != nil {
		t.Fatal(err)
	}
	o := outcome{day: day, delivered: 1 - loss.Loss}
	site := ground.Site{Latitude: 39.1, HasLatitude: true, Texture: season.SiltLoam, Crop: season.WheatGrain}
	if g := (weather.Outlook{Record: r.record, Site: site}).Ready().Ground(day); g.Stops() {
		o.closed = string(g.State)
	}
	return o
}

// advised asks the advice from 1 February on, day by day, until it names the day it is asked on.
func (r *replay) advised(t *testing.T, a *advice.Advisor, year int, draw uint64) outcome {
	t.Helper()
	m := imitator{r.real, r.usual, draw}
	for day := calendar.Date(year, time.February, 1); ; day = day.Add(1) {
		fs := replayField(r.record, day)
		fs.Forecast = m.issue(day)
		d := a.Advise(fs).Decision
		switch {
		case d.Action == advice.Spread && d.Day == day:
			return r.on(t, day)
		case d.HasDaysLeft && d.DaysLeft < 0:
			t.Fatalf("%d: the deadline passed and nothing was spread", year)
		}
	}
}

func (r *replay) winter(t *testing.T, a *advice.Advisor, year, draws int) winter {
	first := calendar.Date(year, time.February, 1)
	monday := first.Add((8 - int(first.Weekday())) % 7)
	w := winter{year: year, monday: monday, first: r.on(t, first), mondayOn: r.on(t, monday)}
	for day := first; day.Before(calendar.Date(year, time.March, 20)); day = day.Add(1) {
		o := r.on(t, day)
		if o.closed != "" {
			continue
		}
		if w.open.day.IsZero() {
			w.open = o
		}
		if o.delivered > w.best.delivered {
			w.best = o
		}
	}
	for draw := range draws {
		w.advised = append(w.advised, r.advised(t, a, year, uint64(draw+1)))
	}
	return w
}

// mean is what the advised days delivered over the draws.
func (w winter) mean() unit.Fraction {
	sum := unit.Fraction(0)
	for _, o := range w.advised {
		sum += o.delivered
	}
	return sum / unit.Fraction(len(w.advised))
}

// middle is the advised day in the middle of the draws.
func (w winter) middle() calendar.Day {
	days := make([]calendar.Day, len(w.advised))
	for i, o := range w.advised {
		days[i] = o.day
	}
	slices.SortFunc(days, calendar.Day.Sub)
	return days[len(days)/2]
}

// score counts winters against a rule of thumb.
type score struct {
	name                string
	more, better, worse int // more: strictly more, by however little; better and worse: by more than even
	gained, worst       unit.Fraction
	worstYear, onClosed int
	lostYears           []string
}

func scoreOf(name string, winters []winter, of func(winter) outcome) score {
	s := score{name: name}
	for _, w := range winters {
		by := w.mean() - of(w).delivered
		s.gained += by / unit.Fraction(len(winters))
		if by > 0 {
			s.more++
		}
		switch {
		case by > even:
			s.better++
		case by < -even:
			s.worse++
			s.lostYears = append(s.lostYears, fmt.Sprintf("%d by %.1f lb/ac", w.year, pounds(-by)))
		}
		if by < s.worst {
			s.worst, s.worstYear = by, w.year
		}
		if of(w).closed != "" {
			s.onClosed++
		}
	}
	return s
}

// pounds is a share of the nitrogen spread in lb/ac.
func pounds(f unit.Fraction) float64 { return float64(f) * float64(replayRate/unit.PoundPerAcre) }

// write writes the page.
func write(winters []winter) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	b.WriteString(replayPreface)
	line("")
	line("| winter | advised (middle of %d) | delivered | 1 February | first Monday | first open day | best day in hindsight |", replayDraws)
	line("|---|---|---|---|---|---|---|")
	cell := func(o outcome) string {
		text := fmt.Sprintf("%.1f", pounds(o.delivered))
		if o.closed != "" {
			text += " (" + o.closed + ")"
		}
		return text
	}
	dated := func(o outcome) string { return o.day.Time().Format("2 Jan") + ": " + cell(o) }
	for _, w := range winters {
		low, high := w.advised[0].delivered, w.advised[0].delivered
		for _, o := range w.advised {
			low, high = min(low, o.delivered), max(high, o.delivered)
		}
		line("| %d | %s | %.1f (%.1f to %.1f) | %s | %s | %s | %s |", w.year, w.middle().Time().Format("2 Jan"),
			pounds(w.mean()), pounds(low), pounds(high), cell(w.first), dated(w.mondayOn), dated(w.open), dated(w.best))
	}
	line("")
	for _, s := range scores(winters) {
		lost := "never"
		if len(s.lostYears) > 0 {
			lost = strings.Join(s.lostYears, ", ")
		}
		line("- Against **%s**: more in %d of %d winters; by more than %.1f lb/ac in %d, worse by more than that in %d (%s); on average %+.1f lb/ac. In %d winters that day's ground was closed.",
			s.name, s.more, len(winters), pounds(even), s.better, s.worse, lost, pounds(s.gained), s.onClosed)
	}
	closed := 0
	for _, w := range winters {
		for _, o := range w.advised {
			if o.closed != "" {
				closed++
			}
		}
	}
	line("")
	line("On %d of the %d advised days the ground was closed after all, by the weather that came: the forecast of the morning had it open.", closed, len(winters)*replayDraws)
	b.WriteString(replayAfterword)
	return b.String()
}

func scores(winters []winter) []score {
	return []score{
		scoreOf("1 February (spread today)", winters, func(w winter) outcome { return w.first }),
		scoreOf("the first Monday in February", winters, func(w winter) outcome { return w.mondayOn }),
		scoreOf("the first open day from 1 February on", winters, func(w winter) outcome { return w.open }),
	}
}

const replayPreface = `# The advised day, replayed

Does the day that Culm names for urea deliver more nitrogen than a rule of thumb? The winters 2004 to 2017 of one
station with a public record (US Climate Reference Network, Manhattan, Kansas; Diamond et al. 2013) are lived through
day by day. From 1 February on the advice is asked every morning for a wheat field on untilled silt loam, with 60 lb N/ac
of urea to broadcast and nothing else to choose; on the day on which it names that same day, urea is spread. It knows the
station's record up to the day before and a forecast of ten days.

- **Forecasts** were not kept, so they are imitated from what really came. Temperature is off by the published error of an
  office of the US National Weather Service, 2.5 °F on the first day to 5.5 °F on the seventh. Rain is known or not with a
  chance that falls with the lead: the forecasts' chances of rain are true to what they say, with a Brier skill over
  climatology of 49 % on the first day, 18 % on the fifth and 8 % on the seventh (from memory; it is less than the advice
  itself takes its forecasts to have). Amounts are off by a factor that widens from 58 to 100 % (from memory). There is no
  wind in the record, so no day is lost to wind. Ten draws of these errors are lived through for each winter.
- **Delivered nitrogen** is what is not lost as ammonia by Culm's own reckoning (see ammonia.md), from the weather that
  came. No measured loss exists for these days: the table shows what the forecast and the choice of a day are worth if
  the reckoning of ammonia is right, and nothing about whether it is.
- **The rules of thumb** spread whatever the ground is like; days on which nothing may be spread are marked, and nothing is
  taken off for them. A third rule waits for the first open day. Hindsight takes the best open day up to 19 March.

Delivered, lb N/ac of 60; in brackets the lowest and highest of the draws. This page is kept in step by TestDayReplay.
`

const replayAfterword = `
Where it lost, looked into when this page was written:

- **2016.** A little rain on 1 February and ten millimetres on the 2nd, and then none for two weeks. No day of rain is
  named while a drier one is open, so in draws that foretold rain on both days it was waited out and lost, while whoever
  spread on the 1st had it. The rule stays, because a spreader that is rained off leaves a field half done; it costs this.
- **2012.** 38 mm fell on 3 February. In most draws it spread before. In some the forecast made a washout of it, 40 mm and
  more, before which no day is named, and waiting lost what that rain would have carried in; in one the forecast came too
  late, and the day was put off again and again for another that looked a little better.
- **2017, 2006, 2009, 2010.** No soaking rain within the week that a day is chosen from, so it spread at once or nearly,
  as the rules of thumb do. The rains that came later in February or in March, as the column of hindsight shows, nobody
  could have relied on.

How far the winters of one station carry is open: snow and frost closed the ground on half of all 1 Februaries here, and
much of the gain is the waiting for open ground that the third rule does too.
`

const replayPage = "../docs/day-replay.md"

// The page says what the replay finds, and what the replay finds is that the advice delivers more than either rule of
// thumb in most winters.
func TestDayReplay(t *testing.T) {
	if testing.Short() {
		t.Skip("lives through 140 winters")
	}
	r, a := newReplay(t), advisor(t)
	var winters []winter
	for year := 2004; year <= 2017; year++ {
		winters = append(winters, r.winter(t, a, year, replayDraws))
	}
	page := write(winters)
	if *updateReplay {
		if err := os.WriteFile(replayPage, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(replayPage)
	if err != nil {
		t.Fatal(err)
	}
	if string(kept) != page {
		t.Errorf("%s is out of step; go test ./advice -run TestDayReplay -update-replay writes it anew. It would read:\n%s", replayPage, page)
	}
	for _, s := range scores(winters)[:2] {
		if 2*s.more <= len(winters) || s.gained <= 0 {
			t.Errorf("against %s: more in %d of %d winters, on average %+.1f lb/ac", s.name, s.more, len(winters), pounds(s.gained))
		}
	}
}

// The imitated forecasts are as they are said to be: their chances of rain are true, their skill falls with the lead as
// stated, and their temperatures are off by the published errors.
func TestImitatedForecasts(t *testing.T) {
	r := newReplay(t)
	for _, lead := range []int{1, 5, 7} {
		brier, usual, n, said, wet, off := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
		for draw := range 4 {
			m := imitator{r.real, r.usual, uint64(draw + 1)}
			for _, d := range r.record {
				month := d.Day.Time().Month()
				if month != time.February && month != time.March || d.Has != season.HasRain|season.HasTemperature {
					continue
				}
				f := m.issue(d.Day.Add(1 - lead))
				if len(f.Days) < lead {
					continue
				}
				on, came := f.Days[lead-1], 0.0
				if d.Rain >= climate.WetFrom {
					came = 1
				}
				c := float64(r.usual.On(d.Day).WetShare())
				brier += (float64(on.RainChance) - came) * (float64(on.RainChance) - came)
				usual += (c - came) * (c - came)
				said, wet, n = said+float64(on.RainChance), wet+came, n+1
				off += math.Abs(float64(on.Low+on.High-d.Low-d.High)) / 2
			}
		}
		if skill, want := 1-brier/usual, knows(lead)*knows(lead); math.Abs(skill-want) > 0.05 {
			t.Errorf("lead %d: Brier skill %.3f, said to be %.3f", lead, skill, want)
		}
		if math.Abs(said-wet)/n > 0.02 {
			t.Errorf("lead %d: chances of %.3f on average, rain on %.3f of days", lead, said/n, wet/n)
		}
		if want := (2.5 + 0.5*float64(lead-1)) / 1.8; math.Abs(off/n-want) > 0.1 {
			t.Errorf("lead %d: temperature off by %.2f C, said to be %.2f", lead, off/n, want)
		}
	}
}
