package server

import (
	"net/http"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/notebook"
	"culm/season"
	"culm/server/desk"
	"culm/server/picture"
)

// fieldView is what a field's page shows.
type fieldView struct {
	shell
	Plan     *advice.Plan
	Open     opener
	Boundary *season.Boundary
	Spots    []*season.Spot
	Handed   []notebook.PlanLabel
	Seen     desk.Seen
	// Days are the coming three weeks; HasDays is false where nothing can be said of them.
	Days    almanac
	HasDays bool
	// HasBook says that a book of guidance is at hand, so that its rules can be shown.
	HasBook func(key string) bool
}

func (s *Server) field(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	handed, err := s.desk.Handed(v.r.Context(), plan.Field.ID)
	if err != nil {
		return err
	}
	view := fieldView{
		shell:    v.shell(sheet, plan.Field.Name),
		Plan:     plan,
		Open:     openerOf(plan, fieldPath(plan.Field.ID, "working")),
		Boundary: sheet.Season.Boundaries[plan.Field.ID],
		Spots:    sheet.Season.Spots[plan.Field.ID],
		Handed:   handed,
		Seen:     sheet.Seen(),
		HasBook:  func(key string) bool { _, ok := s.desk.Book(key); return ok },
	}
	if k, ok := sheet.Calendar(plan.Field.ID, v.reader.Units); ok {
		view.Days, view.HasDays = almanacOf(k, plan)
	}
	return v.show(http.StatusOK, fieldPage(view))
}

func (s *Server) working(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	open := openerOf(plan, "")
	return v.show(http.StatusOK, workingPage(v.shell(sheet, "Working of "+plan.Field.Name), open.flat(), plan.Field.Name, fieldPath(plan.Field.ID)))
}

func (s *Server) planJSON(v *visit) error {
	_, plan, err := v.plan()
	if err != nil {
		return err
	}
	return v.showJSON(plan)
}

// outline is the picture of the field, if its boundary is known.
func (f fieldView) outline() (picture.Field, bool) {
	return picture.FieldOf(f.Plan.Field, f.Boundary, f.Spots)
}

// who says whose field it is and what grows there.
func (f fieldView) who() string { return whoOf(f.Plan) }

func whoOf(p *advice.Plan) string {
	parts := []string{p.Producer.Name, p.Field.Crop.String()}
	if area, ok := p.Figures.Get("area"); ok {
		parts = append(parts, area.Show(p.Units))
	}
	return strings.Join(parts, " · ")
}

// actionWord names an action.
func actionWord(a advice.Action) string {
	switch a {
	case advice.Spread:
		return "Spread"
	case advice.Hold:
		return "Hold"
	case advice.Leave:
		return "Leave"
	default:
		return "Cannot say"
	}
}

// daysLeft says how long there is to act.
func daysLeft(d advice.Decision) string {
	switch {
	case !d.HasDaysLeft:
		return "last day not known"
	case d.DaysLeft < -1:
		return strconv.Itoa(-d.DaysLeft) + " days past the last day"
	case d.DaysLeft == -1:
		return "1 day past the last day"
	case d.DaysLeft == 0:
		return "today is the last day"
	case d.DaysLeft == 1:
		return "1 day left"
	default:
		return strconv.Itoa(d.DaysLeft) + " days left"
	}
}

// money writes an amount of money.
func money(m unit.Money, s unit.System) string {
	return unit.Show(unit.KindMoney, float64(m), s).String()
}

// near are the cautions of this field, and always those that hold for every field.
func (f fieldView) near() []advice.Caution   { return f.cautions(false) }
func (f fieldView) always() []advice.Caution { return f.cautions(true) }

func (f fieldView) cautions(always bool) []advice.Caution {
	var found []advice.Caution
	for _, c := range f.Plan.Cautions {
		if c.Always == always {
			found = append(found, c)
		}
	}
	return found
}

// asks says that what is missing comes before everything but the reasons.
func (f fieldView) asks() bool { return f.Plan.Decision.Action == advice.Ask }

// pay lists the figures of what the decision is worth.
func (f fieldView) pay() []working.ID {
	var found []working.ID
	for _, id := range []working.ID{f.Plan.Pay.PerArea, f.Plan.Pay.PerField, "advised.cost", f.Plan.Pay.BreakEven, "price.sale"} {
		if id != "" && f.Open.has(id) {
			found = append(found, id)
		}
	}
	return found
}

// todo lists the figures that a machine and a buyer need.
func (f fieldView) todo() []working.ID {
	if f.Plan.Decision.Action != advice.Spread {
		return nil
	}
	var found []working.ID
	for _, id := range []working.ID{"advised.product-rate", "advised.product-total", "advised.reaching"} {
		if f.Open.has(id) {
			found = append(found, id)
		}
	}
	return found
}

// fieldPath is the address of a page of a field.
func fieldPath(field string, below ...string) string {
	return "/fields/" + escapePath(field) + joinBelow(below)
}

func planPath(id string, below ...string) string {
	return "/plans/" + escapePath(id) + joinBelow(below)
}

func joinBelow(below []string) string {
	if len(below) == 0 {
		return ""
	}
	return "/" + strings.Join(below, "/")
}

// longDay writes a day as people say it, with the year.
func longDay(d calendar.Day) string { return d.Time().Format("Monday 2 January 2006") }

type figureID = working.ID

// label names a figure.
func (f fieldView) label(id figureID) string {
	figure, _ := f.Plan.Figures.Get(id)
	return figure.Label
}

func (f fieldView) revision() string { return strconv.FormatInt(int64(f.Seen.Revision), 10) }

// actions lists them in the order of a legend.
func actions() []advice.Action {
	return []advice.Action{advice.Spread, advice.Ask, advice.Hold, advice.Leave}
}

// lead is the rule that the rate follows, as an address names it; empty where no book's rule does.
func (f fieldView) lead() string {
	for _, r := range f.Plan.Rates {
		if r.Lead && f.HasBook(bookOf(r.Method)) {
			return r.Method
		}
	}
	return ""
}
