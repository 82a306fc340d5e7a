package need

import (
	"testing"

	"culm/agronomy/unit"
)

// TestVerdicts sets the verdict against what a practitioner would say of the same index and interval. The
// margins are common practice, no source.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name             string
		index, low, high unit.Ratio
		want             Verdict
	}{
		{"the strip does not show", 1.00, 0.98, 1.02, NoResponse},
		{"a hint within the scatter", 1.06, 0.97, 1.16, ResponseUnsure},
		{"the strip shows", 1.20, 1.12, 1.29, ResponseSeen},
		{"certain, but too small to be worth a pass", 1.02, 1.01, 1.03, NoResponse},
		{"small, certain, and perhaps worth a pass", 1.05, 1.01, 1.09, ResponseSeen},
		{"the strip is paler", 0.93, 0.88, 0.98, NoResponse},
		{"the strip is no greener, but the readings scatter", 0.99, 0.85, 1.15, NoResponse},
		{"large but touching 1", 1.15, 1.00, 1.32, ResponseUnsure},
	} {
		f := Finding{Index: c.index, Low: c.low, High: c.high, HasIndex: true, HasInterval: true}
		f.judge()
		if f.Verdict != c.want {
			t.Errorf("%s: %v (%v to %v) is %q, want %q", c.name, c.index, c.low, c.high, f.Verdict, c.want)
		}
	}
	f := Finding{Index: 1.8, HasIndex: true}
	if f.judge(); f.Verdict != ResponseUnsure {
		t.Errorf("an index without interval is %q, want %q", f.Verdict, ResponseUnsure)
	}
}
