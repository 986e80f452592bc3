// Package statistics answers how sure a figure is: what the inputs' spread does
// to a result, how large a part of all units keeps inside a bound, and how much
// of either a few readings or a few counted units can tell.
//
//	question                                            function               source
//	what is the spread of a computed figure?            Propagate              JCGM 100:2008
//	and if the formula is far from linear?              MonteCarlo             JCGM 101:2008
//	between which limits do 95 % of units lie?          ToleranceFactor        ISO 16269-6:2014
//	what part of units lies inside a bound?             NormalProportion       Owen; Hamada and Weerahandi
//	what part failed, what is the rate?                 BinomialLimits, …      Clopper and Pearson; Garwood
//	do two shares, counted in a table, differ?          FisherExact            Fisher; Freeman and Halton
//	do two rates differ?                                PoissonRatio           Przyborowski and Wilenski
//	several tests: which still tell?                    Holm                   Holm
//	how many will the next ones show?                   PredictPoisson, …      Nelson; Thatcher
//	how long from one failure to the next?              MTBFLimits             NIST/SEMATECH e-Handbook
//	does one reading show that the bound is kept?       Conformance            JCGM 106:2012
//	how many bad units pass a test bench?               GuardBand              JCGM 106:2012
//	unit-to-unit apart from merely unknown?             Nested                 variance components
//
// All values are in the caller's units; probabilities, levels and proportions are numbers
// between 0 and 1, never percent. A bound that is open is ±Inf. Results hold no NaN, and no Inf but
// for infinite degrees of freedom (Budget.DOF) and limits that are open by nature, as said there.
//
// # Two kinds of limits
//
// An interval with a level (Budget, Result, BinomialLimits, PoissonLimits) is
// two-sided with equal tails: at 0.95 each limit is passed with probability
// 0.025. The limits of a proportion of units (NormalProportion, Nested) are each
// one-sided at the confidence asked, so that "the lower limit is at least 95 %"
// is the same as "the tolerance interval for 95 % of units lies inside the
// bound" at the same confidence. For a two-sided interval at level L ask them
// with confidence (1+L)/2.
//
// Left out: small-sample theory of other populations than the normal, Bayesian priors, censored
// lifetimes (package survival).
package statistics
