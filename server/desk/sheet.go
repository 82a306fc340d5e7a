package desk

import (
	"runtime"
	"slices"
	"sync"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/notebook"
	"culm/season"

	"golang.org/x/sync/errgroup"
)

// Sheet is a season at one revision of the notebook, on one day, with its plans. A plan is computed when it
// is first asked for and kept. A sheet never changes otherwise and is safe for use by several goroutines.
type Sheet struct {
	Season   *season.Season
	Revision notebook.Revision
	Today    calendar.Day

	us, metric page

	advisor *advice.Advisor
	skies   Skies
}

// page holds a sheet's plans in one system of units: the words of a plan are written in them.
type page struct {
	plans   map[string]func() *advice.Plan
	ordered func() []*advice.Plan
}

// NewSheet lays a season out. It computes no plan yet.
func NewSheet(advisor *advice.Advisor, s *season.Season, revision notebook.Revision, today calendar.Day) *Sheet {
	sheet := &Sheet{Season: s, Revision: revision, Today: today, advisor: advisor}
	sheet.us = sheet.page(unit.US)
	sheet.metric = sheet.page(unit.Metric)
	return sheet
}

func (s *Sheet) page(units unit.System) page {
	p := page{plans: make(map[string]func() *advice.Plan, len(s.Season.Fields))}
	for _, f := range s.Season.Fields {
		p.plans[f.ID] = sync.OnceValue(func() *advice.Plan {
			fs, _ := s.fieldSeason(f.ID, units)
			plan := s.advisor.AdviseUnder(s.skies.Of(fs), fs)
			return &plan
		})
	}
	p.ordered = sync.OnceValue(func() []*advice.Plan { return inOrder(p.all(s.Season.Fields)) })
	return p
}

// all computes the plans that are not there yet, on every processor.
func (p page) all(fields []season.Field) []*advice.Plan {
	plans := make([]*advice.Plan, len(fields))
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, f := range fields {
		group.Go(func() error {
			plans[i] = p.plans[f.ID]()
			return nil
		})
	}
	_ = group.Wait() // none of them fails
	return plans
}

func (s *Sheet) in(units unit.System) page {
	if units == unit.Metric {
		return s.metric
	}
	return s.us
}

// Plan gives the plan of a field in the units of a reader. It returns false when there is no such field.
// The caller must not change it.
func (s *Sheet) Plan(field string, units unit.System) (*advice.Plan, bool) {
	compute, ok := s.in(units).plans[field]
	if !ok {
		return nil, false
	}
	return compute(), true
}

// Plans gives every plan in the order of Before. The caller must not change the list.
func (s *Sheet) Plans(units unit.System) []*advice.Plan { return s.in(units).ordered() }

// Calendar makes the table of days of a field in the units of a reader. It returns false when there is no such
// field. It is not kept: few are looked at, and a season's would fill the memory.
func (s *Sheet) Calendar(field string, units unit.System) (advice.Calendar, bool) {
	fs, ok := s.fieldSeason(field, units)
	if !ok {
		return advice.Calendar{}, false
	}
	_, days := s.advisor.PlanAndCalendar(s.skies.Of(fs), fs)
	return days, true
}

// Calendars makes the tables of days of several fields, on every processor, in the order asked for. A field that the
// season does not have is left out.
func (s *Sheet) Calendars(fields []string, units unit.System) []advice.Calendar {
	made := make([]advice.Calendar, len(fields))
	has := make([]bool, len(fields))
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, id := range fields {
		group.Go(func() error {
			made[i], has[i] = s.Calendar(id, units)
			return nil
		})
	}
	_ = group.Wait() // none of them fails
	all := made[:0]
	for i := range made {
		if has[i] {
			all = append(all, made[i])
		}
	}
	return all
}

func (s *Sheet) fieldSeason(field string, units unit.System) (season.FieldSeason, bool) {
	fs, ok := s.Season.Of(field, s.Today)
	fs.Settings.Units = units
	return fs, ok
}

// Seen names this sheet.
func (s *Sheet) Seen() Seen { return Seen{Revision: s.Revision, Today: s.Today} }

// Forecasts lists the forecasts in use, the oldest first.
func (s *Sheet) Forecasts() []*season.Forecast {
	var found []*season.Forecast
	for station := range s.Season.Forecasts {
		found = append(found, s.Season.LatestForecast(station))
	}
	slices.SortFunc(found, func(a, b *season.Forecast) int { return a.Issued.Compare(b.Issued) })
	return found
}
