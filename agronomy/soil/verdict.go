package soil

import "culm/season"

// Part is the part a nutrient plays in the poor spots.
type Part string

// The parts, from what limits first.
const (
	LikelyCause   Part = "likely cause"   // poor spots short, good ground not, and the difference is real
	PossibleCause Part = "possible cause" // poor spots short, good ground not, but the difference may be chance
	ShortAllOver  Part = "short all over" // both short
	Different     Part = "different"      // they differ, but no level says whether it matters
	GoodShort     Part = "good ground short"
	Unjudged      Part = "not judged" // no level and no clear difference
	NotCause      Part = "not the cause"
)

func (p Part) rank() int {
	for i, q := range []Part{LikelyCause, PossibleCause, ShortAllOver, Different, GoodShort, Unjudged, NotCause} {
		if p == q {
			return i
		}
	}
	return len(p)
}

// judge says which part the nutrient plays, and says it in words.
func (n *Nutrient) judge() {
	differs, known := n.differs()
	if !n.HasCritical {
		n.Part, n.Verdict = n.withoutLevel(differs, known)
		return
	}
	poor, good := n.Critical.Short(n.PoorMean), n.Critical.Short(n.GoodMean)
	side := n.Critical.side()
	switch {
	case poor && !good && differs:
		n.Part, n.Verdict = LikelyCause, "The poor spots are "+side+" the critical level and the good ground is not: likely the cause."
	case poor && !good && !known:
		n.Part, n.Verdict = PossibleCause, "The poor spots are "+side+" the critical level and the good ground is not: perhaps the cause, but fewer than five pairs cannot settle it."
	case poor && !good:
		n.Part, n.Verdict = PossibleCause, "The poor spots are "+side+" the critical level and the good ground is not, but the difference may be chance."
	case poor && good && differs && (n.Mean > 0) != n.Critical.Harmful:
		n.Part, n.Verdict = ShortAllOver, "Both are "+side+" the critical level, the poor spots farther: the good ground suffers too, only less."
	case poor && good:
		n.Part, n.Verdict = ShortAllOver, "Both are "+side+" the critical level: the good ground suffers too, so this does not set the poor spots apart."
	case good:
		n.Part, n.Verdict = GoodShort, "The good ground is "+side+" the critical level and the poor spots are not: not the cause, but the good ground needs it."
	case differs:
		n.Part, n.Verdict = NotCause, "They differ, but neither is "+side+" the critical level: hardly the cause."
	default:
		n.Part, n.Verdict = NotCause, "Neither is "+side+" the critical level: not the cause."
	}
}

// withoutLevel judges by the difference alone.
func (n *Nutrient) withoutLevel(differs, known bool) (Part, string) {
	why := " " + capital(n.WhyNot) + "."
	switch {
	case differs && n.Mean > 0:
		return Different, "The good ground has more." + why
	case differs:
		return Different, "The poor spots have more." + why
	case known:
		return Unjudged, "No clear difference." + why
	default:
		return Unjudged, "Fewer than five pairs: the differences are shown, not tested." + why
	}
}

// joinAcidity puts pH and aluminium together for wheat, which a low pH harms by the aluminium it sets free:
// yields fall below pH 5.5 where aluminium is above 25 ppm too, [cite.WheatPH].
func joinAcidity(all []Nutrient) {
	find := func(a season.Analyte) *Nutrient {
		for i := range all {
			if all[i].Analyte == a && all[i].HasCritical {
				return &all[i]
			}
		}
		return nil
	}
	acid, aluminium := find(season.PH), find(season.Aluminium)
	switch {
	case acid == nil || acid.PoorShort == 0:
	case aluminium == nil:
		acid.note("Aluminium was not measured: a low pH harms wheat where it is above 25 ppm.")
	case aluminium.PoorShort == 0 && acid.Part == LikelyCause:
		acid.Part = PossibleCause
		acid.Verdict = "The poor spots are below the critical pH and the good ground is not, but aluminium is nowhere above its own: perhaps the cause."
	}
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
