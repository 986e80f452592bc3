// Package sensitivity says how much each input of a figure has to do with the figure's spread, and spreads points evenly over inputs.
//
// Everything is said in the unit cube: a figure is a function of one number of 0..1 for each input, which the caller turns into a
// value of that input by its quantile function. Inputs are independent of each other.
//
// Left out: groups of inputs, indices of second order, and inputs that hang together.
//
// Equations are those of docs/models.md, Sensitivity. Sources: Saltelli, Annoni, Azzini, Campolongo, Ratto and Tarantola, "Variance
// based sensitivity analysis of model output. Design and estimator for the total sensitivity index", Computer Physics Communications
// 181 (2010), p. 259; McKay, Beckman and Conover, "A comparison of three methods for selecting values of input variables in the
// analysis of output from a computer code", Technometrics 21 (1979), p. 239; Efron, "Bootstrap methods: another look at the
// jackknife", The Annals of Statistics 7 (1979), p. 1.
package sensitivity
