package need

import (
	"fmt"

	"culm/agronomy/unit"

	"gonum.org/v1/gonum/stat/distuv"
)

// weighSigns counts the pairs in which the reference looks greener and tests the count. Scores by eye are
// steps on a scale of the observer's own: their ratio means nothing, so they give no response index, only
// which of two neighbouring places is the greener.
//
// The test is the exact sign test among the pairs that differ. Response is seen when the Clopper and Pearson
// interval of the share that is greener lies above one half, which is the same test; none is seen when no
// more pairs are greener than paler, or when clearly fewer than half of all pairs are greener.
func (f *Finding) weighSigns() {
	s := &f.Signs
	for _, p := range f.Points {
		switch {
		case p.Reference > p.Beside:
			s.Greener++
		case p.Reference < p.Beside:
			s.Paler++
		default:
			s.Alike++
		}
	}
	differ := s.Greener + s.Paler
	s.P = signTest(s.Greener, differ)
	f.Method = "no pair differs, so there is nothing to test"
	if differ > 0 {
		low, high := exactShare(s.Greener, differ, f.Level)
		s.Share, s.Low, s.High, s.HasShare = unit.Fraction(float64(s.Greener)/float64(differ)), low, high, true
		f.Method = fmt.Sprintf("exact sign test of %d pairs that differ, %d alike", differ, s.Alike)
	}
	_, mostOfAll := exactShare(s.Greener, f.Pairs, f.Level)
	switch {
	case f.Pairs < LeastPairs:
		f.Verdict, f.Why = ResponseUnsure, fmt.Sprintf("fewer than %d pairs", LeastPairs)
	case differ == 0:
		f.Verdict, f.Why = NoResponse, fmt.Sprintf("all %d pairs look alike", f.Pairs)
	case s.Low > 0.5:
		f.Verdict, f.Why = ResponseSeen, fmt.Sprintf("the reference looks greener in %d of %d pairs", s.Greener, f.Pairs)
	case s.Greener <= s.Paler, mostOfAll < 0.5:
		f.Verdict, f.Why = NoResponse, fmt.Sprintf("the reference looks greener in only %d of %d pairs", s.Greener, f.Pairs)
	default:
		f.Verdict, f.Why = ResponseUnsure, fmt.Sprintf("the reference looks greener in %d of %d pairs, which chance alone can bring", s.Greener, f.Pairs)
	}
}

// signTest gives the two-sided p value of k greener among n pairs that differ, under a fair coin.
func signTest(k, n int) float64 {
	if n == 0 {
		return 1
	}
	fair := distuv.Binomial{N: float64(n), P: 0.5}
	return min(1, 2*fair.CDF(float64(min(k, n-k))))
}

// exactShare bounds the share of k in n by Clopper and Pearson 1934: beta quantiles, [cite.ClopperPearson].
func exactShare(k, n int, level unit.Fraction) (low, high unit.Fraction) {
	high = 1
	if k > 0 {
		low = unit.Fraction(distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile(tail(level)))
	}
	if k < n {
		high = unit.Fraction(distuv.Beta{Alpha: float64(k + 1), Beta: float64(n - k)}.Quantile(1 - tail(level)))
	}
	return low, high
}
