package response

import (
	"culm/agronomy/unit"
	"culm/season"
)

// Answer is one form's reading of a trial.
type Answer struct {
	Curve   Curve   `json:"curve"`
	Optimum Optimum `json:"optimum"`
}

// Compare fits every form to the same plots and sets the answers side by side, always in the order of
// Forms. They are not blended, and the one with the least RSS is not the right one for that: on the same
// plots, forms that fit alike differ in the optimum by a factor of two and more [cite.Cerrato1990]. What
// they agree on is firm; what they do not is a matter of the form, which the plots do not settle.
//
// The error is a *BadPlots, when no form could be fitted.
func Compare(plots []season.Plot, ratio unit.Ratio) ([]Answer, error) {
	t, err := newTrial(plots)
	if err != nil {
		return nil, err
	}
	forms := Forms()
	answers := make([]Answer, 0, len(forms))
	for _, form := range forms {
		curve := t.fit(form)
		answers = append(answers, Answer{curve, curve.Optimum(ratio)})
	}
	return answers, nil
}
