package rulebook

// mostSpans bounds how many spans are tried against each other.
const mostSpans = 8

// span finds the lowest and highest answer within the spans that the publication gives for its numbers.
func (x *explainer) span() {
	type ends struct {
		slot      int
		isInput   bool
		low, high float64
	}
	var all []ends
	for i, c := range x.r.Constants {
		if c.HasSpan() && !x.r.isOwn(c.Name) {
			all = append(all, ends{slot: len(x.r.Inputs) + i, low: c.Low, high: c.High})
		}
	}
	for i, in := range x.r.Inputs {
		if d := in.Default; d != nil && (d.Low != 0 || d.High != 0) && !x.t.slots.in[i].Given && !x.r.isOwn(string(in.Name)) {
			all = append(all, ends{slot: i, isInput: true, low: d.Low, high: d.High})
		}
	}
	if len(all) == 0 || len(all) > mostSpans {
		return
	}
	low, high := x.w.Value, x.w.Value
	s := x.t.slots.Clone()
	for corner := range 1 << len(all) {
		for k, e := range all {
			v := e.low
			if corner>>k&1 == 1 {
				v = e.high
			}
			if e.isInput {
				s.Set(e.slot, v)
			} else {
				s.all[e.slot].Number = v
			}
		}
		if v, why := x.r.Evaluate(s); why.Answered() {
			low, high = min(low, v), max(high, v)
		}
	}
	x.w.Low, x.w.High, x.w.HasRange = low, high, true
}
