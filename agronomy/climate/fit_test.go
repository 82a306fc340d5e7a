package climate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func day(year int, month time.Month, d int) calendar.Day { return calendar.Date(year, month, d) }

// wet and dry days, a gap, and unknown rain, as letters: "w" wet (2 mm), "d" dry, "t" trace, "?" not measured, " "
// no row at all.
func rains(first calendar.Day, letters string) []season.WeatherDay {
	var record []season.WeatherDay
	for i, letter := range letters {
		d := season.WeatherDay{Day: first.Add(i), Has: season.HasRain}
		switch letter {
		case 'w':
			d.Rain = 2
		case 't': // known and too little to measure
			d.Rain = 0
		case '?':
			d.Has = 0
		case ' ':
			continue
		}
		record = append(record, d)
	}
	return record
}

// invented makes years of weather from a law that is known: two seasons of rain, a sine of temperature.
func invented(years int, seed uint64) []season.WeatherDay {
	rng := rand.New(rand.NewPCG(seed, 1))
	amount := distuv.Gamma{Alpha: 0.8, Beta: 1. / 8, Src: rng}
	var record []season.WeatherDay
	wet, off := false, 0.0
	for at := day(2000, 1, 1); at.Before(day(2000+years, 1, 1)); at = at.Add(1) {
		phase := 2 * math.Pi * float64(at.Time().YearDay()) / 365.25
		chance := 0.20 + 0.05*math.Sin(phase)
		if wet {
			chance = 0.45
		}
		d := season.WeatherDay{Day: at, Has: season.HasRain | season.HasTemperature}
		if wet = rng.Float64() < chance; wet {
			for d.Rain < climate.WetFrom {
				d.Rain = unit.Water(amount.Rand())
			}
		}
		off = 0.7*off + math.Sqrt(1-0.49)*rng.NormFloat64()
		mean := 12 - 13*math.Cos(phase) + 4*off
		half := 5.0
		if wet {
			mean, half = mean-2, 3
		}
		half *= math.Abs(1 + 0.12*off + 0.15*rng.NormFloat64()) // warm days have the wider range
		d.Low, d.High = unit.Temperature(mean-half), unit.Temperature(mean+half)
		record = append(record, d)
	}
	return record
}

func fit(tb testing.TB, record []season.WeatherDay) *climate.Climate {
	tb.Helper()
	c, err := climate.Fit(record, climate.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

func fitted(tb testing.TB) *climate.Climate { return fit(tb, invented(20, 1)) }

func ExampleCount() {
	record := rains(day(2027, 3, 1), "ddwwd?wdt w")
	march := climate.Count(record, climate.WetFrom).Months[time.March-1]
	fmt.Println(march.Days, "days with rain known,", march.Wet, "wet")
	fmt.Println(march.WetAfterDry, "of", march.AfterDry, "wet after a dry day,", march.WetAfterWet, "of", march.AfterWet, "after a wet one")
	// Output:
	// 9 days with rain known, 4 wet
	// 1 of 3 wet after a dry day, 1 of 3 after a wet one
}

func TestADayMissingBreaksTheChain(t *testing.T) {
	for _, c := range []struct {
		name, days string
		afterWet   int
	}{
		{"whole", "wd", 1},
		{"not measured between", "w?d", 0},
		{"no row between", "w d", 0},
		{"a trace is dry", "tw", 0},
	} {
		march := climate.Count(rains(day(2027, 3, 1), c.days), climate.WetFrom).Months[2]
		if march.AfterWet != c.afterWet {
			t.Errorf("%s: %d days after a wet one; want %d", c.name, march.AfterWet, c.afterWet)
		}
	}
}

func TestAPairBelongsToTheMonthOfItsSecondDay(t *testing.T) {
	months := climate.Count(rains(day(2027, 3, 31), "wd"), climate.WetFrom).Months
	if months[2].AfterWet != 0 || months[3].AfterWet != 1 {
		t.Errorf("March has %d, April %d", months[2].AfterWet, months[3].AfterWet)
	}
}

// The fit finds the law that made a record, within what the number of days allows (four standard errors).
func TestFitFindsTheLaw(t *testing.T) {
	c, err := climate.Fit(invented(60, 7), climate.Options{Belief: -1})
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range c.Months {
		middle := day(2001, time.Month(i+1), 15)
		want := 0.20 + 0.05*math.Sin(2*math.Pi*float64(middle.Time().YearDay())/365.25)
		near(t, m.Month.String()+" after dry", float64(m.Rain.AfterDry), want, math.Sqrt(want*(1-want)/float64(m.Days.AfterDry)))
		near(t, m.Month.String()+" after wet", float64(m.Rain.AfterWet), 0.45, math.Sqrt(0.45*0.55/float64(m.Days.AfterWet)))
		// Against the truth as far as rain is concerned: what 12.7 mm is exceeded by.
		g := distuv.Gamma{Alpha: 0.8, Beta: 1. / 8}
		over := g.Survival(12.7) / g.Survival(float64(climate.WetFrom))
		near(t, m.Month.String()+" over half an inch", float64(m.Rain.Over(12.7)), over, math.Sqrt(over*(1-over)/float64(m.Days.Wet)))
	}
	for _, m := range c.Months {
		near(t, m.Month.String()+" memory of temperature", m.Memory.Lag[0][0], 0.7, math.Sqrt((1-0.49)/float64(m.Days.Pairs)))
	}
	july, january := c.UsualOn(day(2027, 7, 15), false), c.UsualOn(day(2027, 1, 15), false)
	// A straight line between months lies up to 0.5 C inside the peak of a sine of 13 C.
	near(t, "July", float64(july.Mean), 25, 0.15)
	near(t, "January", float64(january.Mean), -1, 0.15)
	near(t, "wet days in July", float64(c.UsualOn(day(2027, 7, 15), true).Mean), 23, 0.15)
	near(t, "spread", float64(july.Spread), 4, 0.1)
	near(t, "range", july.RootRange, math.Sqrt(10), 0.02)
}

func near(t *testing.T, what string, got, want, standardError float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 4*standardError) {
		t.Errorf("%s: %.4f; want %.4f ± %.4f", what, got, want, standardError)
	}
}

// With belief every share lies among those that the months have by themselves, but for the half day that is
// counted more on either side.
func TestBeliefPullsTowardsTheYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		record := invented(1, rapid.Uint64().Draw(t, "seed"))
		little, _ := climate.Fit(record, climate.Options{Belief: 10})
		much, _ := climate.Fit(record, climate.Options{Belief: 1e7})
		var low, high unit.Fraction = 1, 0
		alone := climate.Count(record, climate.WetFrom).Months
		for m := range alone {
			low, high = min(low, alone[m].Chain().AfterDry), max(high, alone[m].Chain().AfterDry)
		}
		for m := range little.Months {
			half := 0.5 / unit.Fraction(alone[m].AfterDry+1)
			if p := little.Months[m].Rain.AfterDry; p < low-half || p > high+half {
				t.Fatalf("month %d: %v outside %v to %v", m+1, p, low, high)
			}
			if p, q := much.Months[m].Rain.AfterDry, much.Months[0].Rain.AfterDry; math.Abs(float64(p-q)) > 1e-3 {
				t.Fatalf("all belief and months still differ: %v, %v", p, q)
			}
		}
	})
}

// The rule of belief, worked out for March by hand: its own days, and 60 days as they are in February, April
// and 60 days of the year.
func TestSixtyDaysOfBelief(t *testing.T) {
	record := invented(2, 11)
	months := climate.Count(record, climate.WetFrom).Months
	var days, wet, dry float64 // of the year: all, wet after dry, after dry
	for _, m := range months {
		days, wet, dry = days+float64(m.Days), wet+float64(m.WetAfterDry), dry+float64(m.AfterDry)
	}
	before, own, after := months[1], months[2], months[3]
	nearDays := float64(before.Days+after.Days) + 60
	nearWet := float64(before.WetAfterDry+after.WetAfterDry) + 60*wet/days
	nearDry := float64(before.AfterDry+after.AfterDry) + 60*dry/days
	want := (float64(own.WetAfterDry) + 60*nearWet/nearDays + 0.5) / (float64(own.AfterDry) + 60*nearDry/nearDays + 1)
	if got := fit(t, record).Months[2].Rain.AfterDry; math.Abs(float64(got)-want) > 1e-12 {
		t.Errorf("March after a dry day: %v; want %v", got, want)
	}
}

func TestAMonthWithoutDaysLeansOnTheOthers(t *testing.T) {
	var record []season.WeatherDay
	for _, d := range invented(3, 5) {
		if d.Day.Time().Month() != time.July {
			record = append(record, d)
		}
	}
	c := fit(t, record)
	july := c.Months[time.July-1]
	if july.Days != (climate.Days{}) {
		t.Errorf("July rests on %+v", july.Days)
	}
	if p := july.Rain.AfterDry; p < 0.05 || p > 0.4 || july.Dry.Mean < 15 || july.Dry.Mean > 30 {
		t.Errorf("July without days: %+v", july)
	}
}

func TestRecordsThatCannotBeFitted(t *testing.T) {
	backwards := rains(day(2027, 1, 1), strings.Repeat("d", 200))
	backwards[5], backwards[6] = backwards[6], backwards[5]
	for _, c := range []struct {
		name   string
		record []season.WeatherDay
		want   string
	}{
		{"nothing", nil, "climate: 0 days whose rain and that of the day before are known; at least 90 are needed"},
		{"every second day", rains(day(2027, 1, 1), strings.Repeat("d?", 200)), "climate: 0 days whose rain"},
		{"out of order", backwards, "climate: the record is not in order: 2027-01-07 stands before 2027-01-06"},
	} {
		if _, err := climate.Fit(c.record, climate.Options{}); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Records nobody would call weather still give chances between 0 and 1 and no NaN.
func TestStrangeRecords(t *testing.T) {
	for _, c := range []struct{ name, days string }{
		{"never wet", "d"}, {"always wet", "w"}, {"in turn", "dw"}, {"one wet day in a hundred", strings.Repeat("d", 99) + "w"},
	} {
		climateOf := fit(t, rains(day(2027, 1, 1), strings.Repeat(c.days, 400/len(c.days))))
		for _, m := range climateOf.Months {
			for _, v := range []float64{float64(m.Rain.AfterDry), float64(m.Rain.AfterWet), float64(m.Rain.Over(5)), float64(m.Rain.Mean())} {
				if !(v >= 0 && v < 1e3) {
					t.Errorf("%s: %+v", c.name, m.Rain)
				}
			}
		}
		if climateOf.KnowsTemperature() {
			t.Errorf("%s: temperature out of nothing", c.name)
		}
	}
}

// The amounts' law is the most likely one: no law near it is likelier.
func TestAmountsAreMostLikely(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := distuv.Gamma{
			Alpha: rapid.Float64Range(0.3, 3).Draw(t, "shape"), Beta: 1 / rapid.Float64Range(2, 20).Draw(t, "scale"),
			Src: rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0),
		}
		var record []season.WeatherDay
		var amounts []float64
		for i := range 400 {
			mm := g.Rand()
			record = append(record, season.WeatherDay{Day: day(2001, 1, 1).Add(i), Rain: unit.Water(mm), Has: season.HasRain})
			if mm >= float64(climate.WetFrom) && record[i].Day.Time().Month() == time.March {
				amounts = append(amounts, mm)
			}
		}
		c, err := climate.Fit(record, climate.Options{Belief: -1})
		if err != nil {
			t.Fatal(err)
		}
		a := c.Months[2].Rain.Amounts
		best := likelihood(amounts, a)
		for _, f := range []float64{0.97, 1.03} {
			for _, other := range []climate.Amounts{
				{Shape: a.Shape * unit.Ratio(f), Scale: a.Scale, Least: a.Least},
				{Shape: a.Shape, Scale: a.Scale * unit.Water(f), Least: a.Least},
				{Shape: a.Shape * unit.Ratio(f), Scale: a.Scale / unit.Water(f), Least: a.Least},
			} {
				if l := likelihood(amounts, other); l > best+1e-6 && a.Shape > 0.06 {
					t.Fatalf("%+v is likelier (%v) than %+v (%v)", other, l, a, best)
				}
			}
		}
	})
}

func likelihood(amounts []float64, a climate.Amounts) float64 {
	g := distuv.Gamma{Alpha: float64(a.Shape), Beta: 1 / float64(a.Scale)}
	sum := -float64(len(amounts)) * math.Log(g.Survival(float64(a.Least)))
	for _, x := range amounts {
		sum += g.LogProb(x)
	}
	return sum
}
