package soil

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// TrialPoint is one trial of a nutrient: the soil test before it and the relative yield without the nutrient,
// each in a unit of the caller's.
type TrialPoint struct{ Test, Yield float64 }

// Split parts trials at a critical soil test.
type Split struct {
	// Low and High are the neighbouring tests that the critical level lies between; Critical is their middle.
	Low, High, Critical float64
	// YieldBelow and YieldAbove are the mean yields on either side.
	YieldBelow, YieldAbove float64
	// R2 is the share of the scatter of yields that the two means explain.
	R2 float64
}

// CateNelson finds the critical level by least squares, as Cate and Nelson, A simple statistical procedure for
// partitioning soil test correlation data into two classes, Soil Sci. Soc. Am. J. 35:658 (1971) [from memory;
// the data of its table 2 are checked in the tests]: of all splits into two classes by the soil test, the one
// whose two class means leave the least scatter. Of equal splits the lowest counts. Trials of one soil test
// are never parted.
//
// It fails with fewer than four trials, where no two tests differ, where all yields are equal, or where a
// number is not finite.
func CateNelson(trials []TrialPoint) (Split, error) {
	sorted, err := trialsInOrder(trials)
	if err != nil {
		return Split{}, err
	}
	n := float64(len(sorted))
	var sum, squares float64
	for _, p := range sorted {
		sum += p.Yield
	}
	mean := sum / n
	for _, p := range sorted {
		squares += (p.Yield - mean) * (p.Yield - mean)
	}
	if squares == 0 {
		return Split{}, errors.New("all yields are equal: nothing depends on the soil test")
	}
	best := Split{R2: -1}
	below := 0.0
	for i := 1; i < len(sorted); i++ {
		below += sorted[i-1].Yield
		if sorted[i-1].Test == sorted[i].Test {
			continue
		}
		left, right := below/float64(i), (sum-below)/(n-float64(i))
		between := float64(i)*(left-mean)*(left-mean) + (n-float64(i))*(right-mean)*(right-mean)
		if r2 := between / squares; r2 > best.R2 {
			low, high := sorted[i-1].Test, sorted[i].Test
			best = Split{low, high, low/2 + high/2, left, right, r2}
		}
	}
	return best, nil
}

// Quadrants is a cross laid over trials: a critical soil test, and a relative yield that counts as enough.
type Quadrants struct {
	// Low and High are the neighbouring tests that the upright line passes between; Critical is their middle.
	Low, High, Critical float64
	// Agree counts the trials that are low in both or high in both, Disagree the others.
	Agree, Disagree int
}

// CateNelsonQuadrants finds the critical level by counting, as Cate and Nelson, A rapid method for correlation
// of soil test analyses with plant response data, North Carolina State University technical bulletin 1 (1965)
// [from memory]: of all upright lines the one that leaves the fewest trials in the two quadrants where soil
// test and yield contradict each other. A trial of just enough yield counts as high. Of equal lines the lowest
// counts.
//
// The level line, the yield that counts as enough, is the caller's, often 80 to 95 %. Were it free too, the
// cross would run into a corner where all trials agree that all are high.
//
// It fails as CateNelson does, and where all yields lie on one side of enough.
func CateNelsonQuadrants(trials []TrialPoint, enough float64) (Quadrants, error) {
	sorted, err := trialsInOrder(trials)
	if err != nil {
		return Quadrants{}, err
	}
	high := 0
	for _, p := range sorted {
		if p.Yield >= enough {
			high++
		}
	}
	if high == 0 || high == len(sorted) {
		return Quadrants{}, errors.New("all yields lie on one side of the yield that counts as enough")
	}
	best := Quadrants{Agree: -1}
	agree := high // with the line left of all trials
	for i := 1; i < len(sorted); i++ {
		if sorted[i-1].Yield >= enough {
			agree--
		} else {
			agree++
		}
		if low, high := sorted[i-1].Test, sorted[i].Test; low != high && agree > best.Agree {
			best = Quadrants{low, high, low/2 + high/2, agree, len(sorted) - agree}
		}
	}
	return best, nil
}

// trialsInOrder checks trials and puts them in order of the soil test.
func trialsInOrder(trials []TrialPoint) ([]TrialPoint, error) {
	if len(trials) < 4 {
		return nil, errors.New("a critical level needs at least four trials")
	}
	for _, p := range trials {
		if math.IsNaN(p.Test+p.Yield) || math.IsInf(p.Test, 0) || math.IsInf(p.Yield, 0) {
			return nil, errors.New("a soil test or a yield is not a number")
		}
	}
	sorted := slices.Clone(trials)
	slices.SortStableFunc(sorted, func(a, b TrialPoint) int { return cmp.Compare(a.Test, b.Test) })
	if sorted[0].Test == sorted[len(sorted)-1].Test {
		return nil, errors.New("all trials have the same soil test")
	}
	return sorted, nil
}
