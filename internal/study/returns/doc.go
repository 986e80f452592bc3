// Package returns answers "How often does it come back?": what part of the units sold came back, by age,
// revision, batch, channel and reason; which batches differ; how many more will come, and what they cost.
//
// Units came back; that is less than that they failed (some never are sent), and more (in some no fault is
// found). Both are told apart throughout.
//
// Inside, ages are seconds and days are counted from 1970-01-01 UTC; shares are fractions, rates 1/s, money in
// units of the product's currency. Equations are numbered [B1]… as in docs/models.md.
//
// It holds no statistics of its own: package statistics and its closets compute, this package arranges what
// is known and words what comes out. Where every unit has its day of sale and every return its unit, ages are
// known and Kaplan and Meier's curve is used; where only periods are known, ages are bounded by the periods.
//
// Left out: how long a unit lay before it was used, how long a return was on its way (no record tells), and
// what a unit does after it came back once.
//
// Same Input, same bits, on any number of cores.
package returns
