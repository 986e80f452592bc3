// Package accounts answers "Did it pay?": what came in and what went out over the product's life,
// when it turned, and what one hour of work paid.
//
// Inside, money is an exact money.Amount where it is booked and a float64 in whole units of the
// currency where it is modelled; times are in s, shares are fractions. Equations are numbered [A1]…
// as in docs/models.md.
//
// It rests on cash: a batch of parts goes out when it is bought, not when it is sold; what is in stock
// is said apart. Rows of one file, of one kind and column, written with a spread, err together, for one
// person remembered them; different ones err independently.
//
// Left out: interest and inflation (rates of discount are given beside), tax on profit beyond one rate,
// refunds of tax on what was bought, money lent to the product.
//
// Same Input, same bits, on any number of cores.
package accounts
