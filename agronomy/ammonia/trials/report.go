package trials

import (
	"fmt"
	"strings"
)

// Number writes a measured or reckoned value: percent, or days for HalfLoss.
func (m Measure) Number(v float64) string {
	if m == HalfLoss {
		return fmt.Sprintf("%.1f d", v)
	}
	return fmt.Sprintf("%.1f %%", 100*v)
}

// Range writes the range that holds 80 of 100, or nothing where the measure has none.
func (o Outcome) Range() string {
	if o.Low == o.High {
		return ""
	}
	return fmt.Sprintf("%.0f to %.0f %%", 100*o.Low, 100*o.High)
}

// Missed says that a measured loss lies outside of its range, or a ratio or time is off by more than a third.
func (o Outcome) Missed() bool {
	if o.Low != o.High {
		return o.Measured < o.Low || o.Measured > o.High
	}
	return o.Reckoned > o.Measured*4/3 || o.Reckoned < o.Measured*2/3
}

// Inside writes how many of the measured values lie in their range, or nothing where there is no range.
func (s Summary) Inside() string {
	if s.Ranged == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d", s.Within, s.Ranged)
}

// Document is docs/ammonia.md.
func Document(outcomes []Outcome, otherwise []Otherwise) string {
	var b strings.Builder
	b.WriteString(opening)
	b.WriteString("## How it does in groups\n\nPercent of the nitrogen applied (of the loss without rain in the line on rain). Bias and root mean square error are of reckoned less measured.\n\n")
	b.WriteString("| group | trials | measured | reckoned | bias | RMSE | in the 80 % range |\n|---|---|---|---|---|---|---|\n")
	for _, s := range Summarize(outcomes) {
		fmt.Fprintf(&b, "| %s | %d | %.1f | %.1f | %+.1f | %.1f | %s |\n", s.Group, s.N, 100*s.Measured, 100*s.Reckoned, 100*s.Bias, 100*s.RMSE, s.Inside())
	}
	b.WriteString("\nMontana's held-out trials of urea, foretold three ways, each from the calibration trials only:\n\n| foretold by | RMSE, points |\n|---|---|\n")
	for _, p := range Peers(outcomes) {
		fmt.Fprintf(&b, "| %s | %.1f |\n", p.Name, 100*p.RMSE)
	}
	b.WriteString(provesWhat)
	b.WriteString("## Trial by trial\n\n\"Missed\" marks a loss outside of its range, and a ratio or a time off by more than a third.\n\n")
	b.WriteString("| study | trial | product | part | measured | reckoned | 80 % range | |\n|---|---|---|---|---|---|---|---|\n")
	for _, o := range outcomes {
		missed := ""
		if o.Missed() {
			missed = "missed"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s | %s |\n", o.Study, o.Name, o.ProductName(), o.Role, o.Measure.Number(o.Measured), o.Measure.Number(o.Reckoned), o.Range(), missed)
	}
	b.WriteString(misses)
	b.WriteString("## What hangs on the weather that was made up\n\n| sort of trial | weather | reckoned |\n|---|---|---|\n")
	for _, o := range otherwise {
		fmt.Fprintf(&b, "| %s | %s | %.1f %% |\n", o.Sort, o.Weather, 100*o.Reckoned)
	}
	b.WriteString("\n## What is published of ground and weather, and what we made up\n\n| trial | published | made up |\n|---|---|---|\n")
	for _, o := range outcomes {
		if !o.Inhibited || o.Study != "Montana" {
			fmt.Fprintf(&b, "| %s, %s | %s | %s |\n", o.Study, o.Name, o.Given, o.Assumed)
		}
	}
	b.WriteString("\nFor all: 10 °C from the low to the high of a day; soil pH 6.5, organic matter 2.6 % and residue on the ground unless named; trials without a published place at 40° N in the middle of a month.\n")
	return b.String()
}

// ProductName is urea, with or without an inhibitor.
func (o Outcome) ProductName() string {
	if o.Inhibited {
		return "urea with inhibitor"
	}
	return "urea"
}

const opening = `# Ammonia lost from urea: reckoned beside measured

This page is written by the program from the trials in ` + "`agronomy/ammonia/trials`" + `; a test keeps both in step.
` + "`culm loss trials`" + ` prints the same table at a terminal.

What is reckoned: urea on the surface dissolves where the ground is moist or rain comes, is hydrolysed at the pace of
Godwin and Jones (1991), and what is hydrolysed is lost or held in fixed proportion, at the same pace. One rain of 4 mm
or more carries urea in by the curve of Holcomb (2011). Cold slows all of it and stops nothing above -8 °C. Ground with
snow on it takes the mean of the two trials on snow. The mean of the air stands for the temperature of the surface: at
Manhattan, Kansas, October to April 2003 to 2017, with a bias of -0.1 °C and a root mean square error of 1.6 °C against
infrared measurements.

Four coefficients are fitted, by least squares, to the rows marked "calibration": Montana's even-numbered trials, Black
et al. (1987) without water, and the half-loss times of Silva et al. (2017). "Given" rows set a constant straight. "Held
out" rows took no part. "Bound" rows are regional means that hold the rain of ordinary years; one of them is from memory.

`

const provesWhat = `
**What this can and cannot prove.** No weather record of any trial was at hand. Each trial's weather is made up from what
its publication says (last table). Montana's publications sort trials by ground and rain and give each sort's losses;
which trial belongs to which sort we took from its loss. So the table shows that the reckoning puts the sorts in the right
places, and how far single trials scatter about that; it cannot show that real weather would have told one sort from
another. A mean for each sort does as well as such data let anything do. And only the coefficients were kept from the
rows held out: the form of the reckoning (that the share lost does not hang on wetness, that an event of 4 mm counts on
any ground) and the made-up weather were chosen with all rows in view. How the light rains of a trial fell (we take 5
mm every 8 days; at less than 4 mm none of it would count) decides what is reckoned for that sort.

`

const misses = `
What is missed, and why as far as we can tell:

- **Air-dry pasture (Black 1987).** 33 % was lost from air-dry soil although 73 % was still urea after 30 days: nearly all
  that hydrolysed was lost. Here it shares the fate of moist ground. And 16 mm after two or four days left three
  quarters of that loss; Montana's dry ground with more than 18 mm lost under 10 %. One curve cannot give both; it
  follows Montana.
- **4 mm within three hours (Black 1987)** left a third of the loss, the curve leaves half.
- **Clean-tilled ground (Illinois 2004)** lost under 5 %; Montana's trials, all on untilled ground, do not tell. Bare
  ground is given a third of the release, which is still too much.
- **Means over many trials and regions** hold rains that we do not know; they are lower than what is reckoned for moist
  ground.
- **Small losses after heavy rain** (1 to 8 %) scatter by more than the reckoning, which gives all of them about 2 %:
  had light rain woken the granules before the heavy rain, it would be more (see below).
- **Trials 3 and 12 with an inhibitor** lost 4 and 2 %, a third and less of what is reckoned.

`
