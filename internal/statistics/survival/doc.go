// Package survival answers how long units last when most of them still do: the part that survives
// an age, the distribution that the ages at failure follow, and whether groups differ.
//
//	question                                        function      source
//	what part survives an age?                      KaplanMeier   Kaplan and Meier 1958; Greenwood 1926
//	and if ages are known by intervals only?        LifeTable     Cutler and Ederer 1958
//	how fast, if age does not matter?               Exponential   maximum likelihood
//	early failures, chance or wear, and how fast?   Weibull       maximum likelihood; Meeker and Escobar 1998
//	what part fails by an age under a fit?          Fit.FailedBy  Meeker and Escobar 1998
//	does the fit deserve belief?                    Fit.Believe   likelihood ratio; parametric bootstrap
//	where does an age stand on a probability plot?  Plotting      Johnson 1964; Benard and Bos-Levenbach 1953
//	do groups differ?                               LogRank       Mantel 1966; Peto and Peto 1972
//	how many of those still good will fail?         Forecast      likelihood over a grid
//	how fast, if only periods are counted?          FromPeriods   Poisson counts, maximum likelihood
//	how long until a failure is reported?           Delay         Lagakos et al. 1988; Kalbfleisch et al. 1991
//
// Whether some batches differ, unasked, is answered by package search.
//
// Ages are in the caller's unit, probabilities between 0 and 1. A unit still good is censored at its
// age; one that is watched from a later age on (because earlier failures went unseen) enters there;
// one whose failure is known only to lie between two inspections has both ages (type Life).
//
// # Maximum likelihood
//
// With z = (t/scale)^shape a unit that failed at t counts log(shape/t) + log z − z, one still good at
// t counts −z, one that failed between two ages log(e^(−z₁) − e^(−z₂)), and a unit that entered later
// counts +z of its entry. Given the shape, the likelihood has one peak in log scale; what remains is a
// profile in the shape alone. Limits are those of the profile likelihood, at which twice the loss from
// the peak is the quantile of chi-squared with one degree of freedom (Meeker and Escobar,
// Statistical Methods for Reliability Data, 1998, section 8.2). Where the likelihood has no peak, the
// error says so (type NoFit); where it never falls so far, the limit has none.
//
// Left out: covariates, mixtures, competing causes, Kaplan-Meier for inspections (Turnbull).
package survival
