package crop

import (
	"fmt"
	"math"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// Springs is the day on which this spring has been as warm as springs are when the stem begins to lengthen,
// by the degree days since 1 January (base 0 C, mean first). What is still to come of this spring is taken
// from each earlier one in turn, so that every earlier spring gives one day.
//
// No published sum of degree days for first hollow stem or the first node of winter wheat may be used here,
// and McMaster and Smika 1988 (cite.McMasterSmika1988) found the calendar to foretell jointing better. So the
// sum is that of the field's own springs where the stage was seen, or else whatever the usual date makes it at
// this station: then the days tell how far this spring runs before or behind the usual, and nothing more.
type Springs struct {
	Sum unit.DegreeDays
	// Days has a day of this spring for each earlier one, in order. Their spread is that of the weather alone.
	Days []calendar.Day
	// Filled counts the days of this year whose temperature was missing and filled in.
	Filled int
	// Seen counts the earlier springs of the field in which the stage was seen and the sum is known.
	Seen int
	// Error is how far the day foretold from the other springs of Seen lay from the one seen, at the most;
	// zero for fewer than springsToJudge.
	Error int
}

// Years counts the earlier springs.
func (s Springs) Years() int { return len(s.Days) }

// Middle is the median of the days.
func (s Springs) Middle() calendar.Day {
	a, b := s.Days[(len(s.Days)-1)/2], s.Days[len(s.Days)/2]
	return a.Add(b.Sub(a) / 2)
}

// Span is the range that leaves out a twentieth of the springs at each end; for fewer than twenty springs that
// is none of them.
func (s Springs) Span() (from, to calendar.Day) {
	cut := len(s.Days) / 20
	return s.Days[cut], s.Days[len(s.Days)-1-cut]
}

const (
	// springsNeeded is how many earlier springs a record must hold before it says anything of this one.
	springsNeeded = 5
	// springsToJudge is how many springs the stage must have been seen in before they judge the method.
	springsToJudge = 3
	// latestMonth is where a spring is over; the stem of a winter crop has lengthened by then.
	latestMonth = time.July
)

// warmth is how the degree days of a spring are counted.
func warmth() weather.Rule { return weather.Rule{Method: weather.MeanFirst} }

func since1January(days []season.WeatherDay, to calendar.Day) weather.Sum[unit.DegreeDays] {
	return weather.DegreeDays(days, calendar.Date(to.Time().Year(), time.January, 1), to, warmth())
}

// inYear is the same date in another year; 29 February becomes 1 March.
func inYear(d calendar.Day, year int) calendar.Day {
	t := d.Time()
	return calendar.Date(year, t.Month(), t.Day())
}

// meanSum is the mean of the degree days that earlier springs had brought by the same date, and of how many.
func meanSum(days []season.WeatherDay, date calendar.Day) (unit.DegreeDays, int) {
	total, n := unit.DegreeDays(0), 0
	for year := days[0].Day.Time().Year(); year < date.Time().Year(); year++ {
		if sum := since1January(days, inYear(date, year)); sum.Complete() {
			total += sum.Total
			n++
		}
	}
	return total / unit.DegreeDays(max(1, n)), n
}

// warmthByDay is the degree days of each day from a first day on; what is not known is not a number.
type warmthByDay struct {
	first  calendar.Day
	values []float64
}

func byDay(days []season.WeatherDay) warmthByDay {
	if len(days) == 0 {
		return warmthByDay{}
	}
	w := warmthByDay{first: days[0].Day, values: make([]float64, days[len(days)-1].Day.Sub(days[0].Day)+1)}
	for i := range w.values {
		w.values[i] = math.NaN()
	}
	rule := warmth()
	for _, d := range days {
		if d.Has&season.HasTemperature != 0 {
			w.values[d.Day.Sub(w.first)] = float64(rule.Day(d.Low, d.High))
		}
	}
	return w
}

// on gives the degree days of a day; not a number where they are not known.
func (w warmthByDay) on(day calendar.Day) float64 {
	if i := day.Sub(w.first); i >= 0 && i < len(w.values) {
		return w.values[i]
	}
	return math.NaN()
}

// warm is the record up to the last day whose temperature is known: the newest day often lacks its high.
func warm(days []season.WeatherDay) []season.WeatherDay {
	for len(days) > 0 && days[len(days)-1].Has&season.HasTemperature == 0 {
		days = days[:len(days)-1]
	}
	return days
}

// springsOf foretells the day of a year on which the sum is reached. Short gaps of this year's temperature
// are filled in and counted. It gives the reason where the record cannot tell.
func springsOf(days []season.WeatherDay, year int, sum unit.DegreeDays) (s Springs, why string) {
	s.Sum = sum
	start := calendar.Date(year, time.January, 1)
	end := start.Add(-1) // the last day known of this year
	if last := days[len(days)-1].Day; last.After(end) {
		end = last
	}
	this, filled := weather.FillTemperature(from(days, start.Add(-1)), start, end)
	s.Filled = len(filled)
	if !end.Before(start) && !weather.DegreeDays(this, start, end, warmth()).Complete() {
		return s, "days since 1 January are missing"
	}
	now, before := byDay(this), byDay(days)
	for earlier := days[0].Day.Time().Year(); earlier < year; earlier++ {
		if day, reached := reach(now, before, end, year, earlier, sum); reached {
			s.Days = append(s.Days, day)
		}
	}
	slices.SortFunc(s.Days, func(a, b calendar.Day) int { return a.Sub(b) })
	if s.Years() < springsNeeded {
		s.Days = nil
		return s, "the record holds too few earlier springs"
	}
	return s, ""
}

// from is a record from a day on.
func from(days []season.WeatherDay, day calendar.Day) []season.WeatherDay {
	i, _ := slices.BinarySearchFunc(days, day, func(d season.WeatherDay, day calendar.Day) int { return d.Day.Sub(day) })
	return days[i:]
}

// reach is the day on which a spring, known up to its end and from then on as warm as an earlier one, reaches
// a sum.
func reach(now, before warmthByDay, end calendar.Day, year, earlier int, sum unit.DegreeDays) (calendar.Day, bool) {
	total := 0.0
	start, other := calendar.Date(year, time.January, 1), calendar.Date(earlier, time.January, 1)
	over := calendar.Date(year, latestMonth, 1).Sub(start)
	for i := range over {
		one := now.on(start.Add(i))
		if start.Add(i).After(end) {
			one = before.on(other.Add(i)) // the same day counted from 1 January, which in leap years is a date off
		}
		if math.IsNaN(one) {
			return start, false
		}
		if total += one; total >= float64(sum) {
			return start.Add(i), true
		}
	}
	return start, false
}

// moved shifts the usual date by the warmth of the spring: to the middle of the days on which this spring
// reaches the sum that the usual date makes it at this station. As the calendar foretells better than degree
// days, the shift is bounded and does not narrow the margin.
func (d Deadline) moved(days []season.WeatherDay, most int) Deadline {
	days = warm(days)
	if len(days) == 0 || most == 0 {
		return d
	}
	year := d.Day.Time().Year()
	sum, n := meanSum(days, d.Day)
	if n < springsNeeded {
		d.Why += "; not moved by the spring's warmth, as the record holds too few earlier springs"
		return d
	}
	springs, why := springsOf(days, year, sum)
	if why != "" {
		d.Why += "; not moved by the spring's warmth, as " + why
		return d
	}
	d.Springs = springs
	if days[len(days)-1].Day.Time().Year() < year {
		return d // nothing is known of this spring yet
	}
	shift := max(-most, min(most, springs.Middle().Sub(d.Day)))
	d.Day = d.Day.Add(shift)
	d.Low, d.High = d.Low.Add(min(0, shift)), d.High.Add(max(0, shift))
	d.Why += fmt.Sprintf("; moved by %+d days, as %s", shift, springs.spoken())
	return d
}

// spoken says what the springs tell.
func (s Springs) spoken() string {
	text := fmt.Sprintf("this spring so far, continued by the warmth of each of %d earlier springs at the station, puts it ", s.Years())
	if from, to := s.Span(); from == to {
		text += "on " + from.Short()
	} else {
		text += "between " + from.Short() + " and " + to.Short()
	}
	if s.Filled > 0 {
		text += fmt.Sprintf(" (%d days without temperature were filled in from those beside them)", s.Filled)
	}
	return text
}

// unjudged is the error, in days, that a foretold day is given while too few springs judge it and no rule
// gives a margin. From memory; no source.
const unjudged = 14

// bySeen foretells the day from earlier springs of the same field in which the stage was seen. It returns
// false where none was, or where the record does not reach back to them.
func bySeen(q Question, r DeadlineRule, hasRule bool) (Deadline, bool) {
	q.Weather = warm(q.Weather)
	if len(q.Weather) == 0 {
		return Deadline{}, false
	}
	seen := sumsSeen(q)
	if len(seen) == 0 {
		return Deadline{}, false
	}
	springs, why := springsOf(q.Weather, q.HarvestYear, middleSum(seen))
	if why != "" {
		return Deadline{}, false
	}
	springs.Seen, springs.Error = len(seen), judge(q.Weather, seen)
	margin := springs.Error
	if springs.Error == 0 {
		if margin = unjudged; hasRule {
			margin = r.Margin
		}
	}
	from, to := springs.Span()
	d := Deadline{
		Known: true, Day: springs.Middle(), Low: from.Add(-margin), High: to.Add(margin), Origin: working.Computed,
		Source: cite.Practice, Status: cite.CommonPractice, Springs: springs,
		Why: fmt.Sprintf("computed: elongation was seen here in %s; %s, give or take %d days for the method", earlierSprings(len(seen)), springs.spoken(), margin),
	}
	if springs.Error == 0 {
		d.Why += ", which too few springs were seen to judge"
	}
	return d, true
}

func earlierSprings(n int) string {
	if n == 1 {
		return "one earlier spring"
	}
	return fmt.Sprintf("%d earlier springs", n)
}

// sumSeen is the day on which elongation was seen in an earlier spring, and the degree days by then.
type sumSeen struct {
	day calendar.Day
	sum unit.DegreeDays
}

func sumsSeen(q Question) []sumSeen {
	var seen []sumSeen
	for _, day := range q.Seen {
		if day.Time().Year() >= q.HarvestYear {
			continue
		}
		if sum := since1January(q.Weather, day); sum.Complete() {
			seen = append(seen, sumSeen{day, sum.Total})
		}
	}
	return seen
}

// middleSum is the mean of the sums.
func middleSum(seen []sumSeen) unit.DegreeDays {
	total := unit.DegreeDays(0)
	for _, s := range seen {
		total += s.sum
	}
	return total / unit.DegreeDays(len(seen))
}

// judge foretells each spring from the others and gives the largest error in days, at least one; zero for too
// few springs to judge by.
func judge(days []season.WeatherDay, seen []sumSeen) int {
	if len(seen) < springsToJudge {
		return 0
	}
	worst, all := 1, byDay(days)
	for i, left := range seen {
		others := slices.Delete(slices.Clone(seen), i, i+1)
		year := left.day.Time().Year()
		day, reached := reach(all, all, calendar.Date(year, latestMonth, 1), year, year, middleSum(others))
		if !reached {
			return unjudged
		}
		off := day.Sub(left.day)
		worst = max(worst, off, -off)
	}
	return worst
}
