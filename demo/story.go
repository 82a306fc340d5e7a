package demo

import (
	"culm/agronomy/calendar"
	"culm/season"
)

// story is one field's winter, in the units of the trade in the invented district. Where a part is absent
// (nil, empty or, of a number, zero) nobody noted it, and the notebook holds nothing.
type story struct {
	name     string
	producer string
	crop     season.Crop
	block    block
	planted  calendar.Day
	tillage  season.Tillage
	texture  season.Texture
	previous string
	goal     float64 // bu/ac
	acres    float64 // by the producer's word
	herd     *herd
	note     string

	fall    []spread
	soil    *soilTest
	strips  []comparison
	ramp    *ramp
	walks   []walk
	spots   []spotPair
	strays  []stray
	mistake func(*season.Visit) // what the scout first wrote wrong of the last walk, corrected the same day
}

// herd is the cattle on a grazed field.
type herd struct {
	heads  float64
	pounds float64 // each, live
	days   float64
}

// spread is nitrogen spread on the whole field.
type spread struct {
	day       calendar.Day
	product   string
	pounds    float64 // N, lb/ac
	placement string
	note      string
}

// soilTest is a composite of the field, in 0-6 in and, unless it is shallow, 6-24 in. Pairs are top layer,
// lower layer.
type soilTest struct {
	day                         calendar.Day
	ph, buffer                  float64 // buffer: by Sikora's method, where pH calls for it
	organic                     float64 // %
	phosphorus, potassium, zinc float64 // ppm; Mehlich-3, Mehlich-3, DTPA
	nitrate, sulfate, chloride  [2]float64
	shallow                     bool
}

// comparison is one round of readings on a reference and beside it.
type comparison struct {
	strip      string
	day        calendar.Day
	observer   string
	instrument string
	reference  season.Reference
	means      season.Means
	// isLog says that the readings are a log along the strip; otherwise they are pairs.
	isLog         bool
	count         int     // of readings on the reference, and as many beside it
	beside, ratio float64 // mean reading beside, and how many times that it is on the reference
	scatter       float64 // standard deviation of one reading beside
}

// ramp is a row of strips of stepped nitrogen.
type ramp struct {
	day    calendar.Day
	rates  []float64 // lb/ac, from the lowest
	better []bool
}

// walk is one visit.
type walk struct {
	day          calendar.Day
	observer     string
	stage        float64 // Feekes for wheat, BBCH for canola
	hollow       float64 // cm
	residue      float64 // %
	green        float64 // %
	stand        float64 // %
	fresh        float64 // kg/m2
	frozen, snow *bool
	note         string
}

// spotPair is a poor spot and the good ground beside it, each sampled to 6 in.
type spotPair struct {
	day        calendar.Day
	east       float64 // fraction of the block's width
	north      float64 // fraction of its height
	poor, good spotTest
	note       string
}

// spotTest is what the laboratory found at one spot. Zero is not measured.
type spotTest struct {
	ph, buffer, organic, phosphorus, potassium, aluminium float64
}

// stray is a spot that was marked and bagged but has no result yet.
type stray struct {
	day         calendar.Day
	east, north float64
	note        string
}

func noted(b bool) *bool { return &b }

// sensorLog is a log of sixty readings along a strip and sixty beside it.
func sensorLog(day calendar.Day, beside, ratio float64) comparison {
	return comparison{
		strip: "A", day: day, observer: scout, instrument: "greenness sensor on the pickup", reference: season.StripReference,
		means: season.Sensor, isLog: true, count: 60, beside: beside, ratio: ratio, scatter: 0.045,
	}
}

// sensorPairs are readings with a hand-held sensor at stops along a strip.
func sensorPairs(day calendar.Day, pairs int, beside, ratio, scatter float64) comparison {
	return comparison{
		strip: "A", day: day, observer: scout, instrument: "hand-held greenness sensor", reference: season.StripReference,
		means: season.Sensor, count: pairs, beside: beside, ratio: ratio, scatter: scatter,
	}
}

// scores are greenness by eye, 0 to 10.
func scores(day calendar.Day, pairs int, beside, ratio float64) comparison {
	return comparison{
		strip: "A", day: day, observer: secondScout, reference: season.StripReference,
		means: season.Eye, count: pairs, beside: beside, ratio: ratio, scatter: 0.7,
	}
}

// on is the comparison made on another kind of reference.
func (c comparison) on(r season.Reference, name string) comparison {
	c.reference, c.strip = r, name
	return c
}

// by is the comparison made by another observer.
func (c comparison) by(observer string) comparison {
	c.observer = observer
	return c
}
