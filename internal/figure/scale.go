package figure

// Scale says how an axis spreads its values.
type Scale uint8

// Values that a scale cannot show are left out.
const (
	Linear  Scale = iota
	Log           // of values above 0
	Weibull       // ln(-ln(1-p)) of fractions 0 < p < 1, on which a Weibull distribution over the logarithm of age is a straight line; written in %
	Dates         // of days since 1970-01-01 UTC, from the year 1 to 9999; ticks at years, quarters, months or days
)
