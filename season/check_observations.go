package season

import (
	"fmt"
	"slices"
	"strings"
)

// Limits within which numbers are believed; common practice, no source.
const (
	highestYield   = 15000.0 // kg/ha of wheat; the best fields of the world come near
	highestRate    = 300.0   // kg N/ha in one go
	deepestSample  = 3.0     // m
	farFromField   = 10.0    // km from the nearest point of the outline
	kmPerDegree    = 111.2
	oddOrganicness = 0.20
	lightestSoil   = 0.1 // million lb to the acre-inch
	heaviestSoil   = 0.5
)

func (c *checker) readings(e Entry, r *Readings) {
	if c.knownField(e, r.Field) {
		c.day(e, "a reading", r.Field, r.Day)
		c.reference(e, r)
	}
	highest, word := 1.0, "a greenness index from 0 to 1"
	if r.Means == Eye {
		highest, word = 10, "a score from 0 to 10"
	}
	places := map[Place]int{}
	for i, one := range r.Readings {
		places[one.Place]++
		if !(one.Value >= 0 && one.Value <= highest) {
			c.sayPart(e, i, wrong("value", "a reading is outside of its scale", fmt.Sprint(one.Value), word))
		}
	}
	for _, side := range []struct{ has, lacks Place }{{OnReference, Beside}, {Beside, OnReference}} {
		if places[side.has] > 0 && places[side.lacks] == 0 {
			c.say(e, doubt("place", fmt.Sprintf("strip %s of field %s was read on one side only", r.Strip, r.Field), string(side.has), "readings with place "+string(side.lacks)+" as well"))
		}
	}
	c.readingPairs(e, r)
}

// readingPairs doubts pair numbers that stand on one side only: the reading is left out of the pairs.
func (c *checker) readingPairs(e Entry, r *Readings) {
	type sides struct{ on, beside, first int }
	pairs := map[int]*sides{}
	var order []int
	for i, one := range r.Readings {
		if one.Pair == 0 {
			continue
		}
		p := pairs[one.Pair]
		if p == nil {
			p = &sides{first: i}
			pairs[one.Pair] = p
			order = append(order, one.Pair)
		}
		if one.Place == OnReference {
			p.on++
		} else {
			p.beside++
		}
	}
	for _, n := range order {
		if p := pairs[n]; p.on == 0 || p.beside == 0 {
			c.sayPart(e, p.first, doubt("pair", "a pair of readings has one side only", fmt.Sprintf("pair %d", n), "one reading on the reference and one beside it"))
		}
	}
}

// reference finds dung and urine where no cattle are.
func (c *checker) reference(e Entry, r *Readings) {
	f := c.fields[r.Field]
	if (r.Reference == DungReference || r.Reference == UrineReference) && f.Crop != "" && !f.Crop.IsGrazed() {
		c.say(e, doubt("reference", "field "+f.ID+" was read on "+string(r.Reference)+" spots but its crop is not grazed", f.Crop.String(), "a grazed crop, or a strip as reference"))
	}
}

func (c *checker) ramp(e Entry, r *Ramp) {
	if c.knownField(e, r.Field) {
		c.day(e, "a ramp", r.Field, r.Day)
	}
	for i, s := range r.Steps {
		if s.Rate < 0 || s.Rate > highestRate {
			c.sayPart(e, i, wrong("n", "a strip of the ramp has a rate that cannot be", fmt.Sprintf("%g kg/ha", float64(s.Rate)), fmt.Sprintf("0 to %g kg/ha of N", highestRate)))
		}
	}
}

func (c *checker) visit(e Entry, v *Visit) {
	if c.knownField(e, v.Field) {
		c.day(e, "a visit", v.Field, v.Day)
		if c.fields[v.Field].Crop == Canola && (v.Scale == Feekes || v.Scale == Zadoks) {
			c.say(e, doubt("scale", "field "+v.Field+" is canola, and the stage is noted on a scale for cereals", string(v.Scale), string(BBCH)))
		}
	}
	// Feekes runs from 1 to 11.4, Zadoks and BBCH from 0 to 99.
	highest := 99.0
	if v.Scale == Feekes {
		highest = 11.4
	}
	if v.Scale != "" && !(v.Stage >= 0 && v.Stage <= highest) {
		c.say(e, wrong("stage", "there is no such stage on the scale", fmt.Sprintf("%g on %s", v.Stage, v.Scale), fmt.Sprintf("0 to %g", highest)))
	}
	c.share(e, "residue", v.Residue.Known(), float64(v.Residue.Value))
	c.share(e, "green", v.Green.Known(), float64(v.Green.Value))
	if v.Stand.Known() && !(v.Stand.Value >= 0 && v.Stand.Value <= 2) {
		c.say(e, wrong("stand", "the stand cannot be that share of a full one", percent(float64(v.Stand.Value)), "0 to 200 %"))
	}
	if v.HollowStem.Known() && !(v.HollowStem.Value >= 0 && v.HollowStem.Value < 0.5) {
		c.say(e, wrong("hollow_stem", "the hollow stem cannot be that long", fmt.Sprintf("%g cm", 100*float64(v.HollowStem.Value)), "0 to 50 cm"))
	}
	if v.FreshMass.Known() && !(v.FreshMass.Value >= 0 && v.FreshMass.Value <= 100000) {
		c.say(e, wrong("fresh", "the fresh mass cannot be that", fmt.Sprintf("%g kg/m2", float64(v.FreshMass.Value)/10000), "0 to 10 kg/m2"))
	}
}

func (c *checker) share(e Entry, field string, known bool, v float64) {
	if known && !(v >= 0 && v <= 1) {
		c.say(e, wrong(field, "a share of the ground is outside of none and all", percent(v), "0 to 100 %"))
	}
}

func (c *checker) soil(e Entry, s *Soil) {
	c.knownField(e, s.Field)
	c.notToCome(e, "soil sample "+s.Sample, s.Day)
	if !(s.Top >= 0 && s.Bottom > s.Top && s.Bottom <= deepestSample) {
		c.say(e, wrong("bottom", "soil sample "+s.Sample+" has no depth that can be", fmt.Sprintf("%g to %g cm", 100*float64(s.Top), 100*float64(s.Bottom)), "a bottom below the top, at most 3 m deep"))
	}
	if s.SoilMass != 0 && !(s.SoilMass >= lightestSoil && s.SoilMass <= heaviestSoil) {
		c.say(e, wrong("soil_mass", "soil sample "+s.Sample+" was reckoned with a soil that cannot be", fmt.Sprintf("%g million lb to the acre-inch", float64(s.SoilMass)), "0.1 to 0.5; mostly 0.3, or 0.3333 for 2 million lb to 6 in"))
	}
	for _, r := range s.Results {
		c.result(e, s, r)
	}
}

// result looks at one number of a soil test.
func (c *checker) result(e Entry, s *Soil, r Result) {
	low, high := Believed(r.Analyte)
	name := string(r.Analyte)
	switch method := MethodName(r.Method); {
	case !(r.Value >= low && r.Value <= high):
		found, expected := strings.TrimSpace(fmt.Sprintf("%g %s", r.Value, r.Analyte.Unit())), fmt.Sprintf("%g to %g", low, high)
		if r.Analyte.Unit() == "share" {
			found, expected = percent(r.Value), "0 to 100 %"
		}
		c.say(e, wrong(name, "a result of soil sample "+s.Sample+" cannot be", found, expected))
	case r.Analyte == OrganicMatter && r.Value > oddOrganicness:
		c.say(e, doubt(name, "soil sample "+s.Sample+" has as much organic matter as peat", percent(r.Value), "below 20 % on a field of wheat or canola"))
	case method != "" && method != UnknownMethod && r.Analyte.Known() && !slices.Contains(r.Analyte.Methods(), method):
		c.say(e, doubt(name, "the method of a result of soil sample "+s.Sample+" is not known here, so no rule is known to hold for it", `"`+r.Method+`"`, strings.Join(r.Analyte.Methods(), ", ")+", or any other if the name is right"))
	}
}

// applied only doubts products and placements that it does not know: ammonia knifed in or manure in fall is
// nitrogen all the same, and counts as the rate written.
func (c *checker) applied(e Entry, a *Applied) {
	c.knownField(e, a.Field)
	c.notToCome(e, "an application", a.Day)
	if !isProduct(a.Product) {
		c.say(e, doubt("product", "the product is not known; its nitrogen counts as written", `"`+a.Product+`"`, products+", or any other if the name is right"))
	}
	switch n := float64(a.Rate); {
	case !(n > 0):
		c.say(e, wrong("n", "nothing was spread", fmt.Sprintf("%g kg/ha", n), "a rate of N above zero"))
	case n > highestRate:
		c.say(e, doubt("n", "so much nitrogen is not spread in one go; is it the rate of product?", fmt.Sprintf("%.0f kg/ha", n), fmt.Sprintf("at most %g kg/ha of N", highestRate)))
	}
	switch a.Placement {
	case "", "broadcast", "flat-fan", "stream":
	default:
		c.say(e, doubt("placement", "the placement is not known; the nitrogen counts as written", `"`+a.Placement+`"`, "broadcast, flat-fan or stream, or any other if the name is right"))
	}
}

func (c *checker) harvest(e Entry, h *Harvest) {
	if c.knownField(e, h.Field) {
		c.day(e, "a harvest", h.Field, h.Day)
		if c.fields[h.Field].Crop == WheatGrazeOut {
			c.say(e, doubt("field", "field "+h.Field+" is to be grazed out but has a harvest", WheatGrazeOut.String(), "another crop, or no harvest"))
		}
	}
	switch kg := float64(h.Yield); {
	case !(kg >= 0):
		c.say(e, wrong("yield", "a yield cannot be less than nothing", fmt.Sprintf("%g kg/ha", kg), "a yield from 0 on"))
	case kg > highestYield:
		c.say(e, doubt("yield", "the yield is higher than such crops have yielded", fmt.Sprintf("%.0f kg/ha", kg), fmt.Sprintf("at most %.0f kg/ha", highestYield)))
	}
	if h.Protein.Known() && !(h.Protein.Value > 0 && h.Protein.Value < 0.4) {
		c.say(e, wrong("protein", "grain cannot hold that share of protein", percent(float64(h.Protein.Value)), "between 0 and 40 %"))
	}
	switch h.Part {
	case "field", "reference", "none":
	default:
		c.say(e, doubt("part", "the harvested part is not known", `"`+h.Part+`"`, "field, reference or none"))
	}
}

func (c *checker) trial(e Entry, t *Trial) {
	for i, p := range t.Plots {
		if !(p.Rate >= 0) || !(p.Yield >= 0) {
			c.sayPart(e, i, wrong("yield", "a plot of trial "+t.Name+" has less than nothing", fmt.Sprintf("%g kg N/ha, %g kg/ha", float64(p.Rate), float64(p.Yield)), "numbers from 0 on"))
		}
	}
	if y := t.Year; !c.today.IsZero() && (y < 1840 || y > c.today.Time().Year()) {
		c.say(e, doubt("year", "trial "+t.Name+" was not harvested in this year", fmt.Sprint(y), "a year that is past"))
	}
}
