// Package weather answers what sun and air temperature a place has, minute by minute through a year:
// drawn from twelve monthly means (Climate) or taken from a file of hours (Record).
//
// Units: W/m², J/m² a day, K, s, rad; a year has 365 days, the clock is the place's standard time.
// The same seed gives the same year on any number of cores, and any day of it without the days before.
//
//	month → day    clearness of days: distribution of Bendt, Collares-Pereira and Rabl 1981, persistence of
//	               Graham, Hollands and Huget 1988                                        [SN13] to [SN16]
//	day → hour     mean and persistence of Aguiar and Collares-Pereira 1992, spread as four typical years
//	               show it                                                                [SN17] to [SN19]
//	hour → minute  sun and shade in turn, brighter beside the edges of clouds; the hour's total kept [SN20] to [SN22]
//	air            day's course of Erbs, Klein and Beckman 1983                           [SN23] to [SN25]
//
// Minutes are samples at the middle of the minute, not means over it: what regulates clips the sun,
// and a mean of sun and shade would pass where neither does.
//
// What it leaves out: snow on the panel, shade of the skyline, correlation of sun and temperature beyond
// the day's swing, and that of one month with the next.
package weather
