// Package production answers "What does one cost to make?": the cost of one good unit at a batch
// size and over batch sizes, where its minutes go, how many one person can make a week, whether a
// step is better given out, and what the price leaves over; held against what was recorded.
//
// Inside, times are in s, money in the product's currency (other currencies by the folder's rates),
// shares as fractions. Equations are numbered [P1]… as in docs/models.md. What an order costs is
// booked as exact money; costs per unit are not booked and not rounded.
//
// Opinions: all material goes in at the first step, so that scrap loses all of it; the allowance
// counts for set-up and rework too; minutes stand for a batch of the usual size made next, so
// that learning changes other batch sizes only; what a minimum order or a pack leaves over is
// used later, and the cost if it never is stands beside.
//
// Left out: the interest on stock, which no folder gives; times of waiting; the risk of a supplier.
//
// Same Input, same bits, on any number of cores.
package production
