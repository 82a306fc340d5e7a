package climate

import (
	"math"

	"culm/agronomy/unit"

	"gonum.org/v1/gonum/mathext"
)

// Amounts is the law of what falls on a wet day: a gamma law, f(x) = x^(a-1) exp(-x/b) / (b^a Gamma(a)),
// given that at least Least fell, since less does not make a day wet. With Least zero it is the plain gamma
// law of Richardson and Wright (1984).
type Amounts struct {
	Shape unit.Ratio `json:"shape"` // a; below 1 for most stations
	Scale unit.Water `json:"scale"` // b
	Least unit.Water `json:"least"`
}

// Over is the chance that more than x falls on a wet day: 1 for x below Least.
func (a Amounts) Over(x unit.Water) unit.Fraction {
	if x <= a.Least {
		return 1
	}
	return unit.Fraction(survive(float64(a.Shape), float64(x/a.Scale)) / survive(float64(a.Shape), float64(a.Least/a.Scale)))
}

// Mean is what falls on a wet day on average.
func (a Amounts) Mean() unit.Water {
	return a.Scale * unit.Water(meanOver(float64(a.Shape), float64(a.Least/a.Scale)))
}

// Quantile is the amount that a share of wet days stays below, 0 <= share < 1.
func (a Amounts) Quantile(share unit.Fraction) unit.Water {
	left := float64(1-share) * survive(float64(a.Shape), float64(a.Least/a.Scale))
	return max(a.Least, a.Scale*unit.Water(mathext.GammaIncRegCompInv(float64(a.Shape), left)))
}

// survive is the chance that a gamma variate of scale 1 exceeds z.
func survive(shape, z float64) float64 {
	if z <= 0 {
		return 1
	}
	return mathext.GammaIncRegComp(shape, z)
}

// meanOver is the mean of a gamma variate of scale 1, given that it exceeds z: a + z^a e^-z / Gamma(a) Q(a,z).
func meanOver(shape, z float64) float64 { return shape + hazard(shape, z) }

// hazard is z times the density at z over the chance of exceeding z.
func hazard(shape, z float64) float64 {
	if z <= 0 {
		return 0
	}
	return densityTimes(shape, z) / survive(shape, z)
}

func densityTimes(shape, z float64) float64 {
	lgamma, _ := math.Lgamma(shape)
	return math.Exp(shape*math.Log(z) - z - lgamma)
}

// rains are the sufficient statistics of a truncated gamma law: how many amounts, their mean, and the mean
// of their logarithms.
type rains struct {
	n       float64
	mean    float64 // mm
	meanLog float64
}

// Bounds of the shape, so that a handful of days cannot lead the fit astray. From memory: published shapes
// for daily rain lie between about 0.4 and 1.5.
const (
	leastShape = 0.05
	mostShape  = 20
	mostRate   = 100 // per mm: a scale of a hundredth of a millimetre
)

// amountsOf finds the gamma law that makes the sample most likely, given that amounts below least do not
// enter it. The likelihood is concave in the shape and in one over the scale, so Newton's steps, halved
// where they would go down, lead to its top.
func amountsOf(sample rains, least float64) Amounts {
	if sample.n == 0 {
		return Amounts{Shape: 1, Scale: unit.Water(max(1, 2*least)), Least: unit.Water(least)}
	}
	t := truncated{sample.mean, sample.meanLog, least}
	shape, rate := t.start()
	at := t.likelihood(shape, rate)
	for range 60 {
		stepShape, stepRate := t.newton(shape, rate)
		better := false
		for half := 1.0; half > 1e-6; half /= 2 {
			a, r := shape+half*stepShape, rate+half*stepRate
			if a < leastShape || a > mostShape || r <= 0 || r > mostRate {
				continue
			}
			if v := t.likelihood(a, r); v > at {
				better = v-at > 1e-13
				shape, rate, at = a, r, v
				break
			}
		}
		if !better {
			break
		}
	}
	return Amounts{unit.Ratio(shape), unit.Water(1 / rate), unit.Water(least)}
}

// truncated is the likelihood of a gamma law given at least `least`, for one observation, as a function of
// shape a and rate 1/b.
type truncated struct{ mean, meanLog, least float64 }

func (t truncated) likelihood(a, rate float64) float64 {
	lgamma, _ := math.Lgamma(a)
	return (a-1)*t.meanLog - rate*t.mean + a*math.Log(rate) - lgamma - math.Log(survive(a, t.least*rate))
}

// start is close to the untruncated answer (Thom 1958, quoted widely): a = (1 + sqrt(1 + 4A/3)) / 4A with
// A = ln(mean) - mean of ln.
func (t truncated) start() (a, rate float64) {
	spread := max(1e-6, math.Log(t.mean)-t.meanLog)
	a = min(max((1+math.Sqrt(1+4*spread/3))/(4*spread), 2*leastShape), mostShape/2)
	return a, a / t.mean
}

// slope is the gradient of the likelihood.
func (t truncated) slope(a, rate float64) (byShape, byRate float64) {
	const h = 1e-5
	lnSurvive := (math.Log(survive(a+h, t.least*rate)) - math.Log(survive(a-h, t.least*rate))) / (2 * h)
	byShape = t.meanLog + math.Log(rate) - mathext.Digamma(a) - lnSurvive
	byRate = (a+hazard(a, t.least*rate))/rate - t.mean
	return byShape, byRate
}

// newton is the step to where the gradient would vanish, were the likelihood a parabola.
func (t truncated) newton(a, rate float64) (stepShape, stepRate float64) {
	ha, hr := 1e-4*a, 1e-4*rate
	ga, gr := t.slope(a, rate)
	aa, ra := t.slope(a+ha, rate)
	ar, rr := t.slope(a, rate+hr)
	aa, ra, ar, rr = (aa-ga)/ha, (ra-gr)/ha, (ar-ga)/hr, (rr-gr)/hr
	cross := (ar + ra) / 2
	det := aa*rr - cross*cross
	if det <= 0 || aa >= 0 { // numerically flat: go uphill
		return ga * a * a, gr * rate * rate
	}
	return -(rr*ga - cross*gr) / det, -(aa*gr - cross*ga) / det
}
