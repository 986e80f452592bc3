// Package search answers whether any run of batches comes back more than the others, without being told which to look at: it looks
// at every run of consecutive groups and at every reason, and says how often a search this wide would find as much among groups
// that are all alike.
//
// # The score
//
// At each age at failure every group is expected to fail by its share of the units at risk then, as in the log-rank test
// (Mantel 1966), so that a later group, watched for a shorter time, is not taken for a better one. O failures of a run
// beside E expected with variance V score the root of
//
//	[F15] 2·(O·log(O/E) + (N−O)·log((N−O)/(N−E))),  N = E²/(E−V),  if O > E, else 0
//
// the deviance of the binomial distribution with that mean and variance, which is (O−E)/√V where E is large and does not
// overrate a run of which one failure in a million was expected (after Kulldorff's scan statistic, Communications in Statistics 26 (1997), p. 1481).
// Only too many failures score: a run with too few shows as too many beside it.
//
// # The probability of the search
//
// If all groups are alike, then at each age at failure any unit at risk was as likely to be the one. The group of each failing
// unit is drawn so, given the units at risk, and the whole search is made again; the probability is the part of such
// searches whose best score reaches the one found, the data counted among them (Phipson and Smyth, Statistical Applications
// in Genetics and Molecular Biology 9 (2010), article 39). Where it is clearly large the draws end early (Besag and Clifford, Biometrika 78 (1991),
// p. 301). Units at risk are those of the data, also where a draw would have taken one out of them earlier; with few
// failures among many units this changes nothing that counts, and TestTypeOne holds the rate of false alarms.
//
// Left out: groups that grow worse slowly (a trend), runs that are not consecutive.
package search
