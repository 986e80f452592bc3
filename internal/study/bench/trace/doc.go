// Package trace holds what every log of the bench is looked at with: when did something change, what
// was held meanwhile, how sure is that, and can the meter be believed?
//
//	question                                      here         source
//	where does a log change its course?           Segments     Killick, Fearnhead and Eckley 2012
//	what is held, and why is that uncertain?      Hold         JCGM 100:2008; Geyer 1992
//	how does one quantity follow another?         Fit          ordinary least squares
//	can a slow meter be believed on pulses?       Pulse.Alias  Fourier series
//
// Inside, everything is in SI units: s, V, A, K. Values come without gaps; who reads them from a file
// says elsewhere what is missing. Equations are numbered [L1]… as in docs/models.md.
//
// Left out: noise that grows or falls within what is held, more than one change within a block of a
// segmentation, meters that round in another way than to the nearest.
//
// Closets: curve looks at a day of charging, sweep at switching points.
package trace
