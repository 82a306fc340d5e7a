package ammonia_test

import (
	"math"
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/ammonia/trials"
	"culm/agronomy/unit"
)

// timeWeighs makes a relative error of a half-loss time weigh as much as the same relative error of a loss of 30 %,
// about the mean of the larger losses.
const timeWeighs = 0.3

// misfit is the sum of squares over the calibration rows that the coefficients were fitted by.
func misfit(k ammonia.Coefficients) float64 {
	sum := 0.0
	for _, t := range trials.All() {
		if t.Role != trials.Calibration {
			continue
		}
		by := 0.0
		switch t.Measure {
		case trials.Lost:
			by = float64(ammonia.ExpectWith(k, t.Spreading()).Loss) - t.Measured
		case trials.HalfLoss:
			by = timeWeighs * math.Log(halfLoss(k, t)/t.Measured)
		}
		sum += by * by
	}
	return sum
}

// halfLoss is the day on which half of the loss has gone, from losses over ever longer times.
func halfLoss(k ammonia.Coefficients, t trials.Trial) float64 {
	s := t.Spreading()
	half := ammonia.ExpectWith(k, s).Loss / 2
	var before unit.Fraction
	for s.Horizon = 1; ; s.Horizon++ {
		after := ammonia.ExpectWith(k, s).Loss
		if after >= half {
			return float64(s.Horizon-1) + float64((half-before)/(after-before))
		}
		before = after
	}
}

// The coefficients in use are those that fit the calibration rows best: moving any of them by 2 % either way
// fits worse.
func TestCoefficientsFit(t *testing.T) {
	best := misfit(ammonia.Fitted())
	for name, of := range map[string]func(*ammonia.Coefficients) *float64{
		"volatile": func(k *ammonia.Coefficients) *float64 { return &k.Volatile },
		"holding":  func(k *ammonia.Coefficients) *float64 { return &k.Holding },
		"guarded":  func(k *ammonia.Coefficients) *float64 { return &k.Guarded },
		"gentle":   func(k *ammonia.Coefficients) *float64 { return &k.Gentle },
	} {
		for _, by := range []float64{0.98, 1.02} {
			k := ammonia.Fitted()
			*of(&k) *= by
			if m := misfit(k); m <= best {
				t.Errorf("%s times %v fits better: %.6f, in use %.6f", name, by, m, best)
			}
		}
	}
}

// The spread of the results is the scatter of the calibration rows about what is reckoned, in logits.
func TestSpreadIsThatOfTheCalibrationRows(t *testing.T) {
	logit := func(share float64) float64 { return math.Log(share / (1 - share)) }
	sum, n := 0.0, 0.0
	for _, row := range trials.All() {
		if row.Role != trials.Calibration || row.Measure != trials.Lost {
			continue
		}
		by := logit(float64(ammonia.ExpectWith(ammonia.Fitted(), row.Spreading()).Loss)) - logit(row.Measured)
		sum += by * by
		n++
	}
	if got := math.Sqrt(sum / n); math.Abs(got-ammonia.VolatileSpread) > 0.005 {
		t.Errorf("the %v rows scatter by %.3f, in use %.2f", n, got, ammonia.VolatileSpread)
	}
}
