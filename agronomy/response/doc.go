// Package response answers two questions about a trial with stepped nitrogen: what curve do the plots
// follow, and at which rate does the last of the nitrogen just pay for itself.
//
// Five forms of curve are fitted by least squares: linear-plateau, quadratic-plateau, quadratic,
// Mitscherlich and square root. They fit alike and advise apart. On one winter wheat trial
// [cite.Bachmaier2009] the five explain 72 to 75 % of the variance, and their formulas put the economic
// optimum anywhere from 127 to 286 kg N/ha. On corn, [cite.Cerrato1990] found the same R2 for five models and
// mean optima from 128 to 379 kg/ha, the quadratic biased high and the quadratic-plateau describing the
// sites best. So Compare sets them side by side, nothing here averages them, and R2 is no reason to choose
// one.
//
// What a rate rests on ends with the trial: no optimum is reported above the highest rate tested. There
// the answer is that rate, marked as a bound.
//
// The optimum is uncertain even when its curve is right. Fieller, Wald, Profile and Bootstrap give limits
// for it. They take the plots as independent and the yields as equally variable; plots repeated on the
// same ground over years are not, and their limits come out too short.
//
// Left out: weighting, random effects of blocks and years, tests of lack of fit, and any choice of form.
package response
