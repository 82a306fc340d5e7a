package server

import (
	"net/http"
	"strconv"

	"culm/advice"
	"culm/agronomy/review"
	"culm/agronomy/unit"
	"culm/notebook"
	"culm/season"
)

// afterView is what came of a field's plans.
type afterView struct {
	shell
	Field   season.Field
	Who     string
	Reviews []reviewed
}

// reviewed is one plan that was handed over, seen from after the harvest.
type reviewed struct {
	Label  notebook.PlanLabel
	Plan   advice.Plan
	Review review.Review
	Units  unit.System
}

func (s *Server) after(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	labels, err := s.desk.Handed(v.r.Context(), plan.Field.ID)
	if err != nil {
		return err
	}
	view := afterView{shell: v.shell(sheet, "After harvest: "+plan.Field.Name), Field: plan.Field, Who: whoOf(plan)}
	for _, label := range labels {
		frozen, err := s.desk.Frozen(v.r.Context(), label.ID)
		if err != nil {
			return err
		}
		handed, err := frozen.Read()
		if err != nil {
			return err
		}
		r, err := advice.After(handed, sheet.Season)
		if err != nil {
			return err
		}
		view.Reviews = append(view.Reviews, reviewed{label, handed, r, v.reader.Units})
	}
	return v.show(http.StatusOK, afterPage(view))
}

// title is the verdict as a sentence.
func (a afterView) title() string {
	switch {
	case len(a.Reviews) == 0:
		return "Nothing was handed over for this field, so there is nothing to set against the harvest."
	case a.Reviews[0].Review.Field == nil:
		return "No harvest of this field is in the notebook yet."
	default:
		return sentenceCase(string(a.Reviews[0].Review.Verdict)) + "."
	}
}

func (r reviewed) advised() string { return r.Plan.Sentence.Read(&r.Plan.Figures, r.Plan.Units) }

func (r reviewed) pass(a *season.Applied) string {
	text := unit.Show(unit.KindRate, float64(a.Rate), r.Units).String() + " of nitrogen as " + a.Product + ", " + longDay(a.Day)
	if a.By != "" {
		text += ", by " + a.By
	}
	return text
}

// cut is a part of the field that was weighed, with the name it has on the page.
type cut struct {
	Name    string
	Harvest *season.Harvest
}

func (r reviewed) cuts() []cut {
	var found []cut
	for _, c := range []cut{{"The field", r.Review.Field}, {"The reference strip", r.Review.Reference}, {"The strip without top-dress", r.Review.None}} {
		if c.Harvest != nil {
			found = append(found, c)
		}
	}
	return found
}

func (r reviewed) yield(y unit.Yield) string {
	return unit.Show(r.Plan.Field.Crop.YieldKind(), float64(y), r.Units).String()
}

func (r reviewed) protein(h *season.Harvest) string {
	if !h.Protein.Known() {
		return "not tested"
	}
	return strconv.FormatFloat(100*float64(h.Protein.Value), 'f', 1, 64) + "%" // as elevators write it
}

func (r reviewed) net() string {
	return unit.Show(unit.KindMoneyPerArea, float64(r.Review.Net), r.Units).String()
}

func ratio(x unit.Ratio) string { return unit.Show(unit.KindRatio, float64(x), unit.US).String() }
