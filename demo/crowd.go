package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// crowd draws fields beyond the cast, around the cast's land. The first of a larger crowd are those of a
// smaller one.
func crowd(fields int, seed uint64) []story {
	if fields <= 0 {
		return nil
	}
	lots := &land{r: chance(seed, "land"), taken: takenSections()}
	names := newNames(seed)
	out := make([]story, fields)
	for i := range out {
		r := chance(seed, fmt.Sprint("field ", i))
		out[i] = draw(r, names, lots.next())
	}
	return out
}

// land hands out blocks, section by section, ring by ring around the cast's.
type land struct {
	r     *rand.Rand
	taken map[[2]int]bool
	ring  int
	todo  [][2]int
	lots  []block
}

// takenSections are the sections in which the cast has fields.
func takenSections() map[[2]int]bool {
	taken := map[[2]int]bool{}
	for _, s := range cast() {
		m := s.block.middle()
		taken[[2]int{int(m.x / mile), int(m.y / mile)}] = true
	}
	return taken
}

// next is the next block that is worth farming.
func (l *land) next() block {
	const smallest = 22 // acres
	for {
		for len(l.lots) == 0 {
			l.lots = l.cut(l.section())
		}
		b := l.lots[0]
		l.lots = l.lots[1:]
		if a := b.acres(); a >= smallest {
			return b
		}
	}
}

// section is the next free section, going round the middle of the cast's land.
func (l *land) section() [2]int {
	const middleCol, middleRow = 3, 3
	for {
		for len(l.todo) == 0 {
			for col := -l.ring; col <= l.ring; col++ {
				for row := -l.ring; row <= l.ring; row++ {
					if max(col, -col, row, -row) == l.ring {
						l.todo = append(l.todo, [2]int{middleCol + col, middleRow + row})
					}
				}
			}
			l.ring++
		}
		s := l.todo[0]
		l.todo = l.todo[1:]
		if !l.taken[s] {
			return s
		}
	}
}

// cut divides a section among fields and what is not ours: pasture, other crops, other advisors' fields.
func (l *land) cut(section [2]int) []block {
	var lots []block
	for _, corner := range []string{"NE", "NW", "SE", "SW"} {
		whole := quarter(section[0], section[1], corner)
		switch u := l.r.Float64(); {
		case u < 0.32: // not ours
		case u < 0.60:
			whole.corner = l.r.Float64() < 0.2
			whole.hole = !whole.corner && l.r.Float64() < 0.1
			whole.bothSides = l.r.Float64() < 0.5
			lots = append(lots, whole)
		case u < 0.92:
			sides := [2]string{"N", "S"}
			if l.r.Float64() < 0.5 {
				sides = [2]string{"E", "W"}
			}
			lots = append(lots, eighty(section[0], section[1], corner, sides[0]))
			if l.r.Float64() < 0.6 {
				lots = append(lots, eighty(section[0], section[1], corner, sides[1]))
			}
		default:
			lots = append(lots, forty(section[0], section[1], corner, []string{"NE", "NW", "SE", "SW"}[l.r.IntN(4)]))
		}
	}
	return lots
}

// draw makes up one field's winter.
func draw(r *rand.Rand, names *names, b block) story {
	s := story{block: b}
	s.name, s.producer = names.next(r, b.acres())
	s.crop = pick(r, []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola}, 52, 21, 6, 21)
	s.texture = pick(r, []season.Texture{season.Sand, season.SandyLoam, season.Loam, season.SiltLoam, season.ClayLoam, season.Clay}, 7, 20, 28, 22, 16, 7)
	s.tillage = pick(r, []season.Tillage{season.Tilled, season.Reduced, season.NoTill}, 40, 30, 30)
	s.previous = pick(r, []string{"wheat", "sorghum", "soybean", "fallow", "canola"}, 66, 10, 10, 8, 6)
	if s.crop != season.WheatGrain && comesOffLate(s.previous) || s.crop == season.Canola {
		s.previous = "wheat"
	}
	if r.Float64() < 0.35 {
		s.acres = math.Round(b.acres())
	}
	drawFall(r, &s)
	drawSoil(r, &s)
	drawWinter(r, &s)
	return s
}

// comesOffLate says that a crop is cut in October, so that only late wheat can follow it.
func comesOffLate(crop string) bool { return crop == "sorghum" || crop == "soybean" }

// drawFall draws planting, yield goal, cattle and the nitrogen of the fall.
func drawFall(r *rand.Rand, s *story) {
	switch s.crop {
	case season.WheatGrain:
		s.planted, s.goal = fall(time.September, 24).Add(r.IntN(24)), round(normal(r, 47, 7, 25, 70), 1)
		if comesOffLate(s.previous) {
			s.planted = s.planted.Add(15)
		}
	case season.Canola:
		s.planted, s.goal = fall(time.September, 10).Add(r.IntN(18)), round(normal(r, 38, 6, 22, 55), 1)
	default:
		s.planted, s.goal = fall(time.September, 3).Add(r.IntN(16)), round(normal(r, 39, 5, 25, 55), 1)
		pounds := round(normal(r, 600, 45, 480, 720), 5)
		s.herd = &herd{heads: math.Round(normal(r, 400, 70, 260, 560) * s.block.acres() / pounds), pounds: pounds, days: float64(95 + r.IntN(25))}
		if s.crop == season.WheatGrazeOut {
			s.goal, s.herd.days = 0, float64(170+r.IntN(20))
		}
	}
	if r.Float64() < 0.06 {
		s.goal = 0
	}
	switch product := pick(r, []string{"", urea, uan28}, 20, 50, 30); product {
	case "":
	case urea:
		s.fall = append(s.fall, spread{s.planted.Add(-6), product, round(normal(r, 44, 11, 20, 80), 5), "broadcast", workedIn})
	default:
		s.fall = append(s.fall, spread{s.planted, product, round(normal(r, 30, 7, 15, 50), 5), "stream", "behind the drill"})
	}
}

// drawSoil draws the composite test, for seven fields in ten.
func drawSoil(r *rand.Rand, s *story) {
	if r.Float64() > 0.7 {
		return
	}
	organic := map[season.Texture]float64{season.Sand: 0.9, season.SandyLoam: 1.4, season.Loam: 1.8, season.SiltLoam: 2.1, season.ClayLoam: 2.1, season.Clay: 2.4}[s.texture]
	t := &soilTest{
		day:     s.planted.Add(-18),
		ph:      round(normal(r, 6.4, 0.6, 4.9, 8.0), 0.1),
		organic: round(normal(r, organic, 0.25, 0.5, 3.8), 0.1), phosphorus: round(math.Exp(normal(r, 3.2, 0.45, 1.6, 4.8)), 1),
		potassium: round(normal(r, 120+80*organic, 50, 80, 600), 5), zinc: round(math.Exp(normal(r, -0.3, 0.4, -1.6, 1.2)), 0.1),
		shallow: r.Float64() < 0.12,
	}
	if t.ph < 6.5 {
		t.buffer = round(6.9-0.32*(6.5-t.ph)-0.05*organic+0.04*r.NormFloat64(), 0.1)
	}
	top := math.Exp(normal(r, 1.9, 0.4, 0.7, 3.3))
	t.nitrate = [2]float64{round(top, 0.5), round(top*normal(r, 0.5, 0.1, 0.25, 0.8), 0.5)}
	t.sulfate = [2]float64{round(normal(r, 3.5*organic, 1.5, 1, 20), 0.5), round(normal(r, 4*organic, 2, 1, 30), 0.5)}
	t.chloride = [2]float64{round(normal(r, 4*organic, 2, 1, 30), 0.5), round(normal(r, 4*organic, 2, 1, 30), 0.5)}
	if t.shallow {
		t.nitrate[1], t.sulfate[1], t.chloride[1] = 0, 0, 0
	}
	s.soil = t
}

// drawWinter draws what was seen in February: a walk, and readings on a strip or on dung spots.
func drawWinter(r *rand.Rand, s *story) {
	day := february(1 + r.IntN(9))
	observer := []string{scout, secondScout}[r.IntN(2)]
	late := float64(s.planted.Sub(fall(time.September, 8)))
	beside := round(normal(r, 0.55-0.004*late, 0.06, 0.22, 0.75), 0.01)
	if s.crop.IsGrazed() {
		beside = round(normal(r, 0.43, 0.05, 0.28, 0.6), 0.01)
	}
	if r.Float64() < 0.88 {
		s.walks = append(s.walks, drawWalk(r, s, day, observer, beside))
	}
	ratio := round(math.Exp(normal(r, 0.11, 0.09, -0.06, 0.38)), 0.01)
	scattered := round(normal(r, 0.028, 0.01, 0.012, 0.07), 0.001)
	pairs := sensorPairs(day, 8+r.IntN(7), beside, ratio, scattered).by(observer)
	switch u := r.Float64(); {
	case u < 0.18: // nobody read it
	case s.crop.IsGrazed() && u < 0.65:
		s.strips = append(s.strips, pairs.on(season.DungReference, "dung spots"))
	case u < 0.36:
		s.note = "Strip A: 80 lb N more than the field."
		s.strips = append(s.strips, sensorLog(day, beside, ratio).by(observer))
	case u < 0.86:
		s.note = "Strip A: 80 lb N more than the field."
		s.strips = append(s.strips, pairs)
	default:
		s.note = "Strip A: 80 lb N more than the field."
		s.strips = append(s.strips, scores(day, 5+r.IntN(4), 6, min(1.4, ratio)).by(observer))
	}
}

func drawWalk(r *rand.Rand, s *story, day calendar.Day, observer string, beside float64) walk {
	w := walk{day: day, observer: observer, stage: 4, stand: round(normal(r, 90, 6, 55, 100), 5), green: round(110*beside-9, 1)}
	switch s.tillage {
	case season.NoTill:
		w.residue = round(normal(r, 52, 12, 30, 85), 1)
	case season.Reduced:
		w.residue = round(normal(r, 22, 6, 12, 35), 1)
	default:
		w.residue = round(normal(r, 8, 3, 2, 15), 1)
	}
	switch {
	case s.crop == season.Canola:
		w.stage, w.fresh = 16+float64(r.IntN(3)), round(normal(r, 0.9, 0.25, 0.3, 1.6), 0.05)
	case s.crop == season.WheatGrazed:
		w.hollow = round(normal(r, 0.4, 0.2, 0.1, 1.1), 0.1)
	case beside < 0.4:
		w.stage = 3
	}
	return w
}

// pick draws one of several, each with its share of a hundred.
func pick[T any](r *rand.Rand, from []T, shares ...float64) T {
	u := 100 * r.Float64()
	for i, share := range shares {
		if u -= share; u < 0 {
			return from[i]
		}
	}
	return from[len(from)-1]
}

// normal draws from a normal distribution, held between two bounds.
func normal(r *rand.Rand, mean, deviation, low, high float64) float64 {
	return min(high, max(low, mean+deviation*r.NormFloat64()))
}
