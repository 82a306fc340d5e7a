package guidance

import "culm/agronomy/working"

// With gives the rule with an advisor's own numbers in place of some of its constants, under another key and
// name. The origin stands beside each of them; what stays keeps its source and standing. It fails when the
// rule has no such constant or the number cannot be used.
func (r *Rule) With(key, name string, constants map[string]float64, origin working.Origin) (*Rule, error) {
	return nil, nil
}
