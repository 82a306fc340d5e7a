package climate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/stat/distuv"
)

func quantile(values []float64, p float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	return sorted[min(len(sorted)-1, int(p*float64(len(sorted))))]
}

// writeBelief tries how much to believe a short record: fitted on some years, judged on all others.
func writeBelief(w *strings.Builder, stations []station) {
	beliefs := []float64{-1, 15, 30, 60, 120, 240, 1000}
	w.WriteString(`## How much a short record is believed

A month's numbers lean on the two months beside it, and these on the whole year, as if so many days of theirs had been
measured in it too. Fitted on one, two or three years in a row and judged on the days of all others: by how much the
likelihood of a day's rain rises over the months' own plain numbers, in thousandths of its logarithm per day, mean over all
starts.

| station | years fitted |`)
	for _, b := range beliefs[1:] {
		fmt.Fprintf(w, " %.0f days |", b)
	}
	w.WriteString("\n|---|---:|" + strings.Repeat("---:|", len(beliefs)-1) + "\n")
	for _, s := range stations {
		for years := 1; years <= 3; years++ {
			fmt.Fprintf(w, "| %s | %d |", s.name, years)
			gains := beliefGains(s, years, beliefs)
			for _, g := range gains[1:] {
				fmt.Fprintf(w, " %+.1f |", 1000*(g-gains[0]))
			}
			w.WriteString("\n")
		}
	}
	w.WriteString("\n" + beliefWords)
}

// beliefGains is the mean log likelihood of a held-out day for each belief.
func beliefGains(s station, years int, beliefs []float64) []float64 {
	sums, days := make([]float64, len(beliefs)), 0
	first, last := s.record[0].Day, s.record[len(s.record)-1].Day
	for start := first; !start.Add(365*years - 1).After(last); start = start.Add(365) {
		end := start.Add(365*years - 1)
		inside := between(s.record, start, end)
		outside := [][]season.WeatherDay{between(s.record, first, start.Add(-1)), between(s.record, end.Add(1), last)}
		for i, b := range beliefs {
			c, err := climate.Fit(inside, climate.Options{Belief: b})
			if err != nil {
				continue // a year with next to nothing measured
			}
			for _, part := range outside {
				l, n := rainLikelihood(c, part)
				sums[i] += l
				if i == 0 {
					days += n
				}
			}
		}
	}
	for i := range sums {
		sums[i] /= float64(days)
	}
	return sums
}

func between(record []season.WeatherDay, first, last calendar.Day) []season.WeatherDay {
	var part []season.WeatherDay
	for _, d := range record {
		if !d.Day.Before(first) && !d.Day.After(last) {
			part = append(part, d)
		}
	}
	return part
}

// rainLikelihood is the log likelihood of the days of a record that follow on a known one, and how many.
func rainLikelihood(c *climate.Climate, record []season.WeatherDay) (sum float64, days int) {
	for i := 1; i < len(record); i++ {
		before, now := &record[i-1], &record[i]
		if before.Has&now.Has&season.HasRain == 0 || now.Day.Sub(before.Day) != 1 {
			continue
		}
		law := c.On(now.Day)
		p := float64(law.AfterDry)
		if before.Rain >= climate.WetFrom {
			p = float64(law.AfterWet)
		}
		days++
		if now.Rain < climate.WetFrom {
			sum += math.Log(1 - p)
			continue
		}
		g := distuv.Gamma{Alpha: float64(law.Shape), Beta: 1 / float64(law.Scale)}
		sum += math.Log(p) + g.LogProb(float64(now.Rain)) - math.Log(g.Survival(float64(law.Least)))
	}
	return sum, days
}

// event is what the chance is asked for: at least one of the next days with more than an amount.
type event struct {
	within int
	over   unit.Water
}

// writeSkill holds out one winter after the other and scores the chance of wash-in by Brier's rule.
func writeSkill(w *strings.Builder, stations []station) {
	w.WriteString(`## Skill without a forecast

Each winter (November to March) was left out in turn, the rest fitted, and on every evening of it the chance asked for of at least
one day with more than the amount among the next ones, from whether it had rained that day. Brier's score is the
mean square of chance less outcome; skill is its reduction against climatology: the share, in the winters not left out, of the
spells that began within 15 days of the same date. The interval holds 90 % of 2,000 draws of whole winters.

| station | more than | within | evenings | happened | chance, mean | climatology | chain | skill | 90 % interval | |
|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---|
`)
	for _, s := range stations {
		for _, e := range []event{{1, climate.WetFrom}, {3, 5}, {3, 12.7}, {7, 5}, {7, 12.7}} {
			winters := scoreWinters(s, e)
			var all scores
			for _, one := range winters {
				all.add(one)
			}
			low, high := bootstrap(winters)
			verdict := "no skill shown"
			switch {
			case low > 0:
				verdict = "skill"
			case high < 0:
				verdict = "**worse**"
			}
			n := float64(all.n)
			fmt.Fprintf(w, "| %s | %.1f mm | %d d | %d | %.1f %% | %.1f %% | %.4f | %.4f | %+.1f %% | %+.1f to %+.1f | %s |\n",
				s.name, e.over, e.within, all.n, 100*float64(all.happened)/n, 100*all.chance/n, all.climatology/n, all.chain/n, 100*all.skill(), 100*low, 100*high, verdict)
		}
	}
	w.WriteString("\n" + skillWords)
}

// scores are sums over evenings.
type scores struct {
	n, happened        int
	chance             float64
	climatology, chain float64
}

func (s *scores) add(o scores) {
	s.n += o.n
	s.happened += o.happened
	s.chance += o.chance
	s.climatology += o.climatology
	s.chain += o.chain
}

func (s *scores) skill() float64 { return 1 - s.chain/s.climatology }

func bootstrap(winters []scores) (low, high float64) {
	rng := rand.New(rand.NewPCG(4, 4))
	var skills []float64
	for range 2000 {
		var all scores
		for range winters {
			all.add(winters[rng.IntN(len(winters))])
		}
		skills = append(skills, all.skill())
	}
	return quantile(skills, 0.05), quantile(skills, 0.95)
}

// evening is a day of a winter on whose weather, and that of the days after it, everything is known.
type evening struct {
	day      calendar.Day
	winter   int // year of its January
	wet      bool
	happened bool
}

func eveningsOf(record []season.WeatherDay, e event) []evening {
	var all []evening
	for i := range record {
		year, month, _ := record[i].Day.Time().Date()
		if month > 3 && month < 11 || i+e.within >= len(record) {
			continue
		}
		if month >= 11 {
			year++
		}
		known, happened := true, false
		for k := range e.within + 1 {
			d := &record[i+k]
			known = known && d.Has&season.HasRain != 0 && d.Day.Sub(record[i].Day) == k
			happened = happened || k > 0 && d.Rain > e.over
		}
		if known {
			all = append(all, evening{record[i].Day, year, record[i].Rain >= climate.WetFrom, happened})
		}
	}
	return all
}

func scoreWinters(s station, e event) []scores {
	evenings := eveningsOf(s.record, e)
	var winters []scores
	for from := 0; from < len(evenings); {
		to := from
		for to < len(evenings) && evenings[to].winter == evenings[from].winter {
			to++
		}
		winters = append(winters, scoreWinter(s, e, evenings, evenings[from:to]))
		from = to
	}
	return winters
}

func scoreWinter(s station, e event, all, held []evening) scores {
	winter := held[0].winter
	first, last := day(winter-1, 7, 1), day(winter, 6, 30)
	var rest []season.WeatherDay
	for _, d := range s.record {
		if d.Day.Before(first) || d.Day.After(last) {
			rest = append(rest, d)
		}
	}
	c, err := climate.Fit(rest, climate.Options{})
	if err != nil {
		panic(err)
	}
	var sum scores
	for _, h := range held {
		before, outcome := unit.Fraction(0), 0.0
		if h.wet {
			before = 1
		}
		if h.happened {
			outcome = 1
			sum.happened++
		}
		chance := float64(climate.AtLeastOnce(c.Coming(h.day.Add(1), e.within), before, e.over))
		usual := usualShare(all, h)
		sum.n++
		sum.chance += chance
		sum.chain += (chance - outcome) * (chance - outcome)
		sum.climatology += (usual - outcome) * (usual - outcome)
	}
	return sum
}

// usualShare is climatology: the share of evenings within 15 days of the date, in other winters, on which it
// happened.
func usualShare(all []evening, h evening) float64 {
	n, happened := 0, 0
	for _, other := range all {
		moved := day(other.day.Time().Year()-other.winter+h.winter, other.day.Time().Month(), other.day.Time().Day())
		if off := moved.Sub(h.day); other.winter == h.winter || off < -15 || off > 15 {
			continue
		}
		n++
		if other.happened {
			happened++
		}
	}
	return float64(happened) / float64(n)
}
