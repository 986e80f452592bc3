// Package money answers what it costs, what it brings and when it pays: the cheapest quantity
// to order, the break-even, the cost of a good unit, the time that learning saves, the present
// value and the rates of return of a cash flow.
//
// # Amounts
//
// An Amount is an exact decimal number with its currency, or without one where only numbers are
// compared. Amounts are multiplied, subtracted and compared without rounding. There is one
// rounding rule: an amount is rounded to the minor unit of its currency, half to even, at the
// moment when it is booked, and at no other; see Amount.Booked. What is no booking is never
// rounded: a present value, a cost per unit. An amount without a currency has no minor unit and
// is booked as it is.
//
// Rates, yields and times are float64, and so is what is computed from them: a present value
// is a model's figure, no amount that anybody pays. Shares and rates are fractions: 0.08 for 8 %.
//
// # What it leaves out
//
// Currencies are not converted here, taxes not known, dates not counted: a cash flow has one
// figure a period.
//
// Sources: Crawford 1944 for the unit theory of learning, Wright (J. Aeronautical Sciences 3, 1936,
// p. 122) for the cumulative average; ISO 4217 for minor units (from memory); for the rest the
// definitions of any textbook of engineering economy.
package money
