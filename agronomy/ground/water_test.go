package ground_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// The arithmetic of FAO-56 Equations 82 to 84 on a soil that holds 0.32 at field capacity and 0.15 at wilting
// point, reckoned elsewhere: 170 mm available to 1 m of roots, 93.5 mm of it readily at 5 mm a day, stress 0.7843
// once 110 mm are gone.
func ExampleBucket_Readily() {
	b := ground.Bucket{Soil: ground.Soil{FieldCapacity: 0.32, WiltingPoint: 0.15}, Roots: 1, Depletion: 0.55}
	fmt.Printf("available %.0f mm, readily %.1f mm, stress %.4f\n", float64(b.Available()), float64(b.Readily(5)), ground.Stress(110, b.Readily(5), b.Available()))
	fmt.Printf("share drawn without stress at 2 mm a day: %.2f\n", float64(b.Readily(2)/b.Available()))
	// Output:
	// available 170 mm, readily 93.5 mm, stress 0.7843
	// share drawn without stress at 2 mm a day: 0.67
}

// FAO-56 Equations 73 and 74 on loam, by hand: 1000 (0.25 - 0.06) 0.10 = 19 mm; with 14 mm gone (19-14)/(19-9) = 0.5.
func ExampleDrying() {
	loam, _ := ground.SoilOf(season.Loam)
	fmt.Printf("%.0f mm can evaporate; with 14 mm gone the ground gives off %.1f of what the air would take\n",
		float64(loam.TotalEvaporable()), ground.Drying(14, loam.ReadilyEvaporable, loam.TotalEvaporable()))
	// Output: 19 mm can evaporate; with 14 mm gone the ground gives off 0.5 of what the air would take
}

// A wet day and four dry ones on loam in February.
func ExampleBucket_Next() {
	loam, _ := ground.SoilOf(season.Loam)
	b := ground.Bucket{Soil: loam, Roots: 1, Depletion: 0.55, Curve: loam.SmallGrain()}
	w := ground.Water{Depleted: 30, Dried: 12}
	for i, rain := range []unit.Water{25, 0, 0, 0, 0} {
		var f ground.Flow
		w, f = b.Next(w, ground.Inflow{Liquid: rain, Reference: 1.5, Basal: 0.15, Initial: 0.15, Height: 1})
		fmt.Printf("day %d: %.1f mm ran off, %.1f mm evaporated; the top layer holds %.0f %% of field capacity\n",
			i, float64(f.Runoff), float64(f.Evaporated), 100*float64(w.OfCapacity(loam)))
	}
	// Output:
	// day 0: 0.0 mm ran off, 1.6 mm evaporated; the top layer holds 146 % of field capacity
	// day 1: 0.0 mm ran off, 1.6 mm evaporated; the top layer holds 99 % of field capacity
	// day 2: 0.0 mm ran off, 1.6 mm evaporated; the top layer holds 84 % of field capacity
	// day 3: 0.0 mm ran off, 1.6 mm evaporated; the top layer holds 75 % of field capacity
	// day 4: 0.0 mm ran off, 1.6 mm evaporated; the top layer holds 69 % of field capacity
}

var kinds = []season.Texture{season.Sand, season.SandyLoam, season.Loam, season.SiltLoam, season.ClayLoam, season.Clay}

// Whatever the weather, what comes in is what runs off, evaporates, is drawn, drains and is stored, and no layer
// holds less than nothing or more than it can.
func TestWaterBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil, _ := ground.SoilOf(rapid.SampledFrom(kinds).Draw(t, "texture"))
		crop := ground.CropOf(rapid.SampledFrom([]season.Crop{season.WheatGrain, season.Canola}).Draw(t, "crop"))
		b := ground.Bucket{Soil: soil, Roots: unit.Length(rapid.Float64Range(0.3, 1.8).Draw(t, "roots")), Depletion: crop.Depletion, Curve: soil.SmallGrain()}
		w := ground.Water{Depleted: b.Available() * unit.Water(rapid.Float64Range(0, 1).Draw(t, "depleted"))}
		w.Dried = min(w.Depleted, soil.TotalEvaporable()*unit.Water(rapid.Float64Range(0, 1).Draw(t, "dried")))
		planted := calendar.Date(2024, time.October, 1)
		var in, out unit.Water
		from, snow := w, ground.Snow(0)
		fallen := unit.Water(0)
		for i := range 300 {
			rain := unit.Water(rapid.Float64Range(-20, 80).Draw(t, "rain"))
			rain = max(0, rain)
			mean := unit.Temperature(rapid.Float64Range(-15, 30).Draw(t, "mean"))
			fallen += rain
			var liquid unit.Water
			wet, white := ground.RainOrSnow(rain, mean)
			snow, liquid = snow.Next(wet, white, mean, mean+6)
			var f ground.Flow
			w, f = b.Next(w, ground.Inflow{
				Liquid: liquid, Reference: unit.Water(rapid.Float64Range(0, 9).Draw(t, "reference")),
				Basal: crop.Basal(planted.Add(i), planted), Initial: crop.BasalInitial, Height: crop.Height,
				Covered: snow.Lies(), Frozen: rapid.Bool().Draw(t, "frozen"), OnFrozen: crop.SingleFrozen,
			})
			in += f.In
			out += f.Runoff + f.Evaporated + f.Transpired + f.Drained
			if f.Runoff < 0 || f.Evaporated < 0 || f.Transpired < 0 || f.Drained < 0 || f.Runoff > f.In {
				t.Fatalf("day %d: %+v", i, f)
			}
			if w.Depleted < 0 || w.Depleted > b.Available() || w.Dried < 0 || w.Dried > soil.TotalEvaporable() || w.Passing < 0 || w.OfPores(soil) > 1+1e-12 {
				t.Fatalf("day %d: %+v", i, w)
			}
		}
		// rounding of 300 additions of up to 1e4 mm: far below a billionth
		if off := float64(in - out - (from.Depleted - w.Depleted)); math.Abs(off) > 1e-9 {
			t.Fatalf("%v mm in, %v mm out, %v mm stored: %v mm lost", in, out, from.Depleted-w.Depleted, off)
		}
		if off := float64(fallen - in - unit.Water(snow)); math.Abs(off) > 1e-9 {
			t.Fatalf("%v mm fell, %v mm reached the ground, %v mm lie: %v mm lost", fallen, in, snow, off)
		}
	})
}

// More rain never leaves the ground drier, and frozen ground never takes up more.
func TestMoreRainIsWetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil, _ := ground.SoilOf(rapid.SampledFrom(kinds).Draw(t, "texture"))
		b := ground.Bucket{Soil: soil, Roots: 1, Depletion: 0.55, Curve: soil.SmallGrain()}
		w := ground.Water{Depleted: 60, Dried: unit.Water(rapid.Float64Range(0, 10).Draw(t, "dried"))}
		in := ground.Inflow{Liquid: unit.Water(rapid.Float64Range(0, 60).Draw(t, "rain")), Reference: 2, Basal: 0.15, Initial: 0.15, Height: 1}
		less, _ := b.Next(w, in)
		in.Liquid += unit.Water(rapid.Float64Range(0, 20).Draw(t, "more"))
		more, open := b.Next(w, in)
		if more.OfCapacity(soil) < less.OfCapacity(soil)-1e-9 {
			t.Fatalf("%v of capacity, with more rain %v", less.OfCapacity(soil), more.OfCapacity(soil))
		}
		in.Frozen = true
		if _, frozen := b.Next(w, in); frozen.Runoff < open.Runoff-1e-9 {
			t.Fatalf("%v mm run off open and %v off frozen ground", open.Runoff, frozen.Runoff)
		}
	})
}

func TestShippedData(t *testing.T) {
	for _, texture := range kinds {
		soil, assumed := ground.SoilOf(texture)
		if assumed || soil.Texture != texture || soil.Status != cite.FromMemory {
			t.Errorf("%s: %+v, assumed %v", texture, soil, assumed)
		}
	}
	if soil, assumed := ground.SoilOf(""); !assumed || soil.Texture != season.Loam {
		t.Errorf("unknown texture: %+v, assumed %v", soil, assumed)
	}
	for _, crop := range ground.Crops() {
		if _, known := cite.Find(crop.Source); !known {
			t.Errorf("%s: source %q is not in the catalogue", crop.Crop, crop.Source)
		}
	}
}

// Stages of winter wheat in Idaho, planted in October (FAO-56 Table 11): 160, 75, 75 and 25 days; basal
// coefficients of Table 17.
func TestBasal(t *testing.T) {
	wheat, planted := ground.CropOf(season.WheatGrain), calendar.Date(2025, time.October, 1)
	for _, row := range []struct {
		name  string
		after int
		want  float64
	}{
		{"in winter", 100, 0.15},
		{"end of the first stage", 160, 0.15},
		{"end of the second", 235, 1.10},
		{"end of the third", 310, 1.10},
		{"ripe", 335, 0.15},
		{"long after", 400, 0.15},
		{"before planting", -5, 0.15},
	} {
		if got := wheat.Basal(planted.Add(row.after), planted); math.Abs(got-row.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

func FuzzParseSoils(f *testing.F) {
	f.Add(`[{"texture":"loam","fieldCapacity":0.25,"wiltingPoint":0.12,"pores":0.45,"readilyEvaporable":9,"drains":0.8,"group":"B","source":"fao-56","status":"from memory"}]`)
	f.Add(`[{"texture":"loam","fieldCapacity":0.12,"wiltingPoint":0.25}]`)
	f.Add(`[{"clay":1}]`)
	f.Add(`null`)
	f.Fuzz(func(t *testing.T, text string) {
		soils, err := ground.ParseSoils(text)
		if err != nil {
			return
		}
		for _, s := range soils {
			b := ground.Bucket{Soil: s, Roots: 1, Depletion: 0.5, Curve: s.SmallGrain()}
			if w, _ := b.Next(ground.Water{}, ground.Inflow{Liquid: 10, Reference: 2, Basal: 0.15, Initial: 0.15, Height: 1}); math.IsNaN(float64(w.OfCapacity(s))) {
				t.Errorf("%+v was taken", s)
			}
		}
	})
}

func FuzzParseCrops(f *testing.F) {
	f.Add(`[{"crop":"wheat","basalInitial":0.15,"basalMiddle":1.1,"basalEnd":0.15,"depletion":0.5,"height":1,"rootsLeast":1,"rootsMost":1.5,"initialDays":160,"developmentDays":75,"middleDays":75,"lateDays":25,"source":"fao-56","status":"quoted by another source"}]`)
	f.Add(`[{"crop":"corn"}]`)
	f.Add(`{}`)
	f.Fuzz(func(t *testing.T, text string) {
		crops, err := ground.ParseCrops(text)
		if err != nil {
			return
		}
		planted := calendar.Date(2025, time.October, 1)
		for _, c := range crops {
			if got := c.Basal(planted.Add(200), planted); !(got > 0 && got < 2) {
				t.Errorf("%+v: basal %v", c, got)
			}
		}
	})
}
