package review

import "culm/season"

// judge decides whether the advice was right, from the best witness there is: the money when the nitrogen
// was spread and a strip went without, the reference strip when nothing was spread.
func (r *Review) judge(d Decision, o Outcome) {
	switch {
	case o.Crop == season.WheatGrazeOut:
		r.unknown("The top-dress of a crop that was grazed out: no grain was cut. Judge it by the gain of the cattle.")
		return
	case r.Field == nil:
		r.unknown("Anything: no harvest of the field is recorded.")
		return
	}
	if len(r.Passes) > 0 {
		r.judgeSpread(d)
	} else {
		r.judgeBare(d, o.Prices)
	}
	if d.Open {
		r.Verdict = Unjudged
	}
	r.compareIndex(d)
	if r.Verdict != Unjudged {
		r.because("One strip, weighed once: a bushel or two can be the ground or the scale. Judge by several fields and years.")
	}
}

// judgeSpread judges a field that was top-dressed.
func (r *Review) judgeSpread(d Decision) {
	if !r.HasGain {
		r.unknown("What the nitrogen brought: no strip was left without top-dress. One pass width, marked and weighed apart, is enough.")
		r.weighLeft()
		return
	}
	if d.Spread && d.HasGain {
		r.because("The nitrogen brought %s.", within(r.Gain, d.GainLow, d.GainHigh))
	}
	r.weighLeft()
	if !r.HasNet {
		return
	}
	paid := r.Net > 0
	switch {
	case d.Spread && paid:
		r.rule(Held, "The top-dress paid.")
	case d.Spread:
		r.rule(Failed, "The top-dress did not pay.")
	case paid:
		r.rule(Failed, "The top-dress was not advised, and paid.")
	default:
		r.rule(Held, "The top-dress was not advised, and did not pay.")
	}
	if r.Followed == Otherwise {
		r.because("What was spread is not what was advised: this judges the nitrogen spread, not the rate or product advised.")
	}
}

// judgeBare judges a field on which nothing was spread: by what the reference strip yielded over it, and
// where prices are known by whether that would have carried the cost.
func (r *Review) judgeBare(d Decision, p Prices) {
	if !r.HasIndex {
		r.unknown("Whether nitrogen would have brought anything: the reference strip was not weighed apart.")
		return
	}
	answered := r.Index > Enough
	if answered && !r.carries(d, p) {
		answered = false
		r.because("The reference strip outyielded the field, but by less than it would have cost.")
	}
	switch {
	case d.Spread && answered:
		r.rule(Held, "Nothing was spread, and the reference strip outyielded the field: the crop would have answered.")
	case d.Spread:
		r.rule(Failed, "Nothing was spread, and nothing was lost by it.")
	case answered:
		r.rule(Failed, "The reference strip outyielded the field: the crop would have answered to nitrogen.")
	default:
		r.rule(Held, "Nothing was lost by spreading nothing.")
	}
}

// carries says whether the yield of the reference over the bare crop would have carried the cost: of the
// pass and the nitrogen advised, or of the pass alone where none was. Without prices it is taken to.
func (r *Review) carries(d Decision, p Prices) bool {
	bare := r.None
	if bare == nil {
		bare = r.Field
	}
	if !p.Grain.Known() || !p.Pass.Known() {
		r.unknown("Whether the nitrogen would have paid: the price of the grain or of a pass is missing.")
		return true
	}
	// currency/ha = kg/ha × currency/kg
	cost := float64(p.Pass.Value)
	if n := p.Nitrogen[d.Product]; d.Spread && n.Known() {
		cost += float64(d.Rate) * float64(n.Value)
	} else {
		r.unknown("What the nitrogen itself would have cost: only the pass is counted.")
	}
	return float64(r.Reference.Yield-bare.Yield)*float64(p.Grain.Value) > cost
}

// rule sets the verdict with its reason first.
func (r *Review) rule(v Verdict, why string) {
	r.Verdict = v
	r.Why = append([]string{why}, r.Why...)
}

// weighLeft says whether a top-dressed field was left with a response.
func (r *Review) weighLeft() {
	switch {
	case !r.HasLeft:
		r.unknown("Whether the rate was enough: the reference strip was not weighed apart.")
	case r.Left > Enough:
		r.because("The reference strip outyielded the field: more nitrogen would have been used.")
	default:
		r.because("The reference strip hardly outyielded the field: the nitrogen was enough.")
	}
}

// compareIndex sets the index read in the season against that of the harvest.
func (r *Review) compareIndex(d Decision) {
	if !d.HasIndex || !r.HasIndex {
		return
	}
	read, cut := d.Index > Enough, r.Index > Enough
	switch {
	case read && cut:
		r.because("The response read in the season was there at harvest.")
	case read:
		r.because("The response read in the season was not there at harvest: something else came to limit the crop, or the soil caught up.")
	case cut:
		r.because("A response that was not read in the season was there at harvest: nitrogen ran short later.")
	default:
		r.because("No response was read in the season, and none was there at harvest.")
	}
}
