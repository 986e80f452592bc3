// Package fit answers which parameters bring a formula nearest to readings, and how sure they are:
// nonlinear least squares with bounds, intervals from the curvature and from the profile.
//
//	question                                        here
//	which parameters fit best?                      Solve, SolveFrom
//	how sure is one, if nearly linear?              Result.Interval
//	and if not, or if a side may be open?           Result.Profile
//	how sure is a figure made of several?           Result.Derived
//
// Values are in the caller's units. Residuals are what readings lack of the formula or the other way
// round, each over its own uncertainty where these differ. No result holds NaN or an infinity.
//
// The intervals take residuals for independent and normal with one variance, estimated from their
// scatter; a caller who knows better (residuals that follow each other) sets Variance and DOF
// of the result before asking for intervals.
//
// Left out: the covariance of residuals (whiten them), robust weights, finding starts.
//
// Sources: Moré, "The Levenberg-Marquardt algorithm", Lecture Notes in Mathematics 630 (1978), p. 105;
// Nielsen, report IMM-REP-1999-05, Technical University of Denmark (damping); Bates and Watts,
// Nonlinear Regression Analysis and Its Applications, 1988 (intervals 2.3, profiles 6.1).
package fit
