package ammonia

// backwards goes through a course from its last day to its first. Every step of the pools moves a share of what is
// there, so what a unit in a pool will have come to by the end is a weighted mean of what it comes to from the day
// after; one pass from the end gives it for every day of spreading, and is exact.
type backwards struct {
	rates rates
	days  []lossesOn
}

// future is what a unit in each pool comes to by the end of the course: kilograms lost, or washed in, and so on.
type future struct{ solid, guardedSolid, guarded, urea, ammonium, gentle float64 }

// counts says what a future counts.
type counts struct{ lost, washed, held, hydrolysed float64 }

// moves are the shares that move in a day, as in pools.step.
type moves struct{ hydrolysed, released, lost, gentleLost, held float64 }

func (r *rates) moves(d *dayOn) moves {
	water := min(1, d.wet+0.20)
	m := moves{hydrolysed: min(1, r.capacity*min(water, d.pace)), released: min(1, r.guarded*min(water, d.pace)), held: r.holding * d.pace}
	m.lost = min(r.volatile*d.pace*d.blown, 1-m.held)
	m.gentleLost = m.lost * r.gentle
	return m
}

// back gives the future at the beginning of a day from that at its end, where rain leaves a share of the urea.
func (f *future) back(m *moves, dissolves, left float64, c counts) {
	f.ammonium = c.lost*m.lost + c.held*m.held + (1-m.lost-m.held)*f.ammonium
	f.gentle = c.lost*m.gentleLost + c.held*m.held + (1-m.gentleLost-m.held)*f.gentle
	washed := (1 - left) * c.washed
	f.urea = washed + left*(m.hydrolysed*(c.hydrolysed+f.ammonium)+(1-m.hydrolysed)*f.urea)
	f.guarded = washed + left*(m.released*(c.hydrolysed+f.gentle)+(1-m.released)*f.guarded)
	f.solid += dissolves * (f.urea - f.solid)
	f.guardedSolid += dissolves * (f.guarded - f.guardedSolid)
}

func (f *future) of(begin int) float64 {
	switch begin {
	case granules:
		return f.solid
	case solution:
		return f.urea
	case guardedGranules:
		return f.guardedSolid
	default:
		return f.guarded
	}
}

// futures are those of one course: as expected, and for the doubt about the coefficients and without rain.
type futures struct {
	lost, washed, held, hydrolysed        future
	volatile, poorerRain, quicker, noRain future
}

// run adds a course to the tallies; looked says whether the doubt is reckoned in it.
func (b *backwards) run(days []dayOn, looked bool) {
	var f futures
	volatile, quicker := b.rates, b.rates
	volatile.volatile *= moreVolatileBy()
	quicker.capacity *= quickerBy()
	for i := len(days) - 1; i >= 0; i-- {
		d := &days[i]
		m := b.rates.moves(d)
		f.lost.back(&m, d.dissolves, d.left, counts{lost: 1})
		f.washed.back(&m, d.dissolves, d.left, counts{washed: 1})
		f.held.back(&m, d.dissolves, d.left, counts{held: 1})
		f.hydrolysed.back(&m, d.dissolves, d.left, counts{hydrolysed: 1})
		if looked {
			f.poorerRain.back(&m, d.dissolves, d.leftPoor, counts{lost: 1})
			f.noRain.back(&m, d.dissolves, 1, counts{lost: 1})
			m = volatile.moves(d)
			f.volatile.back(&m, d.dissolves, d.left, counts{lost: 1})
			m = quicker.moves(d)
			f.quicker.back(&m, d.dissolves, d.left, counts{lost: 1})
		}
		if i < len(b.days) {
			b.days[i].add(&f, d.surface == OnSnow, looked)
		}
	}
}

// add adds what a course does to urea spread on the day. On snow the published trials stand for what would come.
func (l *lossesOn) add(f *futures, snow, looked bool) {
	if snow {
		l.onSnow++
	}
	for begin := range l.begun {
		t := &l.begun[begin]
		if snow {
			t.addSnow(begin >= guardedGranules, looked)
			continue
		}
		lost, washed := f.lost.of(begin), f.washed.of(begin)
		t.lost += lost
		t.squares += lost * lost
		t.washed += washed
		t.held += f.held.of(begin)
		t.hydrolysed += f.hydrolysed.of(begin)
		if washed >= 0.5 {
			t.carried++
		}
		if looked {
			t.look(lost, f, begin)
		}
	}
}

// look adds the doubt about the coefficients.
func (t *tally) look(lost float64, f *futures, begin int) {
	for _, other := range [...]*future{&f.volatile, &f.poorerRain, &f.quicker} {
		by := other.of(begin) - lost
		t.doubt += by * by
	}
	t.dry += f.noRain.of(begin)
	t.looked++
}

// addSnow adds a course in which the day's snow covers the ground.
func (t *tally) addSnow(isGuarded, looked bool) {
	r := Result{urea: 1}
	r.onSnow(isGuarded)
	t.lost += float64(r.Loss)
	t.squares += float64(r.Loss * r.Loss)
	t.held += float64(r.Held)
	t.hydrolysed++
	if looked {
		t.doubt += r.variance
		t.dry += float64(r.Loss)
		t.looked++
	}
}
