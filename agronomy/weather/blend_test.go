package weather_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"

	"pgregory.net/rapid"
)

// The station at 10 km weighs a quarter of the one at 5 km. Rain on the far one alone is not the field's.
func ExampleBlend() {
	near := weather.Log{Station: "elm", Distance: 5000, Days: []season.WeatherDay{rainy(1, 0, 10, 0), rainy(2, 0, 10, 8), {Day: january(3), Has: season.HasTemperature}}}
	far := weather.Log{Station: "oak", Distance: 10000, Days: []season.WeatherDay{rainy(1, 5, 15, 12), rainy(2, 5, 15, 13), rainy(3, 5, 15, 6)}}
	blended := weather.Blend([]weather.Log{far, near})
	for _, d := range blended.Days {
		fmt.Printf("%s %.0f to %.0f C, %.0f mm\n", d.Day, float64(d.Low), float64(d.High), float64(d.Rain))
	}
	fmt.Println(blended.Filled[0])
	// Output:
	// 2015-01-01 1 to 11 C, 0 mm
	// 2015-01-02 1 to 11 C, 9 mm
	// 2015-01-03 1 to 3 C, 6 mm
	// rain on 2015-01-03 is that of oak
}

func rainy(d int, low, high unit.Temperature, rain unit.Water) season.WeatherDay {
	one := day(d, low, high)
	one.Rain = rain
	return one
}

func TestOneStationAloneStaysAsItIs(t *testing.T) {
	days := augsburg(t)
	blended := weather.Blend([]weather.Log{{Station: "a", Distance: 7000, Days: days}})
	if len(blended.Days) != len(days) || len(blended.Filled)+len(blended.Stopped) != 0 {
		t.Fatalf("%d days from %d, %v, %v", len(blended.Days), len(days), blended.Filled, blended.Stopped)
	}
	for i, d := range blended.Days {
		if d != days[i] {
			t.Fatalf("%+v became %+v", days[i], d)
		}
	}
}

// A station that stops in the middle of a season is named, and its days from then on are those of others.
func TestAStationThatStops(t *testing.T) {
	long := augsburg(t)[:120]
	blended := weather.Blend([]weather.Log{
		{Station: "near", Distance: 2000, Days: long[:60]}, {Station: "far", Distance: 9000, Days: long}, {Station: "empty", Distance: 1000},
	})
	want := []weather.Stop{{Station: "empty"}, {Station: "near", Last: long[59].Day}}
	if len(blended.Stopped) != 2 || blended.Stopped[0] != want[0] || blended.Stopped[1] != want[1] {
		t.Errorf("stopped %v", blended.Stopped)
	}
	filled := map[season.Parts]int{}
	for _, f := range blended.Filled {
		filled[f.Part] += f.To.Sub(f.From) + 1
	}
	if filled[season.HasTemperature] != 60 || filled[season.HasRain] != 60 {
		t.Errorf("filled %v", blended.Filled)
	}
	if len(blended.Filled) > 3 {
		t.Errorf("one run of days became several: %v", blended.Filled)
	}
}

// Two stations of one climate whose rains come independently: the plain mean rains on far more days and less
// hard, the rule keeps both the share of wet days and the mean of what falls on them. With p the share of wet
// days at each, the mean is wet on 2p - p*p of the days, the rule, whose ties the nearest decides, on p.
func TestRainIsNotSmoothed(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	const n, p = 20_000, 0.25
	var logs [2]weather.Log
	for i := range logs {
		logs[i] = weather.Log{Station: string(rune('a' + i)), Distance: 8000}
		for d := range n {
			rain := 0.0
			if draw.Float64() < p {
				rain = 1 + 8*draw.ExpFloat64()
			}
			logs[i].Days = append(logs[i].Days, rainy(1+d, 0, 1, unit.Water(rain)))
		}
	}
	wet, sum, plainWet := 0, 0.0, 0
	for i, d := range weather.Blend(logs[:]).Days {
		if d.Rain > 0 {
			wet++
			sum += float64(d.Rain)
		}
		if logs[0].Days[i].Rain+logs[1].Days[i].Rain > 0 {
			plainWet++
		}
	}
	share, amount := float64(wet)/n, sum/float64(wet)
	// Four standard errors of a share of p and of a mean of exponential amounts.
	if math.Abs(share-p) > 4*math.Sqrt(p*(1-p)/n) || math.Abs(amount-9) > 4*8/math.Sqrt(n*p) {
		t.Errorf("wet on %.3f of the days with %.2f mm, want %.3f and 9", share, amount, p)
	}
	if plain := float64(plainWet) / n; math.Abs(plain-(2*p-p*p)) > 0.02 {
		t.Errorf("the plain mean is wet on %.3f", plain)
	}
}

// Whatever the logs: a day has what some station has, every value lies between the least and the most of the
// stations, and equal logs change nothing.
func TestBlendProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var logs []weather.Log
		for i := range rapid.IntRange(1, 4).Draw(t, "stations") {
			l := weather.Log{Station: string(rune('a' + i)), Distance: unit.Length(rapid.Float64Range(0, 50_000).Draw(t, "distance"))}
			for d := 1; d <= 10; d++ {
				if has := season.Parts(rapid.IntRange(0, 7).Draw(t, "has")); has != 0 {
					low := unit.Temperature(rapid.Float64Range(-20, 20).Draw(t, "low"))
					l.Days = append(l.Days, season.WeatherDay{
						Day: january(d), Low: low, High: low + 5, Rain: unit.Water(rapid.Float64Range(0, 30).Draw(t, "rain")),
						Snow: unit.Water(rapid.Float64Range(0, 300).Draw(t, "snow")), Has: has,
					})
				}
			}
			logs = append(logs, l)
		}
		for _, d := range weather.Blend(logs).Days {
			var has season.Parts
			lowest, highest, wettest := math.Inf(1), math.Inf(-1), 0.0
			for _, l := range logs {
				for _, of := range l.Days {
					if of.Day != d.Day {
						continue
					}
					has |= of.Has
					if of.Has&season.HasTemperature != 0 {
						lowest, highest = min(lowest, float64(of.Low)), max(highest, float64(of.High))
					}
					if of.Has&season.HasRain != 0 {
						wettest = max(wettest, float64(of.Rain))
					}
				}
			}
			bad := d.Has != has || float64(d.Rain) > wettest+1e-9 || d.Rain < 0 || d.Low > d.High
			if d.Has&season.HasTemperature != 0 {
				bad = bad || float64(d.Low) < lowest-1e-9 || float64(d.High) > highest+1e-9
			}
			if bad {
				t.Fatalf("%+v from %+v", d, logs)
			}
		}
	})
}
