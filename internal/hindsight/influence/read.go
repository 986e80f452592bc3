package influence

import (
	"context"

	"hindwatt/internal/bind"
	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// rests is the same text for products of which the figure's study reads the same.
func (a Asked) rests(p *product.Product) string {
	return promise.Rests(p, a.Figure.Study, a.Options())
}

// read finds the inputs that the study reads: those which make another study of it when they are moved. Many are moved at once, and
// only where that makes a difference each half of them.
func (w *work) read(ctx context.Context) ([]product.Input, error) {
	all := w.product.Inputs()
	base := w.rests(w.product)
	const together = 16
	found := make([][]product.Input, (len(all)+together-1)/together)
	err := numeric.Parallel(ctx, len(found), func(i int) error {
		found[i] = w.among(ctx, base, all[i*together:min((i+1)*together, len(all))])
		return ctx.Err()
	})
	var read []product.Input
	for _, some := range found {
		read = append(read, some...)
	}
	return read, err
}

func (w *work) among(ctx context.Context, base string, some []product.Input) []product.Input {
	if len(some) == 0 || ctx.Err() != nil {
		return nil
	}
	for down := range 2 { // what may not be more may be less
		var puts []product.Put
		for _, in := range some {
			puts = append(puts, otherwise(in, down))
		}
		if p, err := w.Product(puts...); err == nil {
			if w.rests(p) == base {
				return nil
			}
			if len(some) == 1 {
				return some
			}
			break
		}
		if len(some) > 1 {
			break
		}
	}
	if len(some) == 1 {
		return nil // it cannot be moved alone
	}
	half := len(some) / 2
	return append(w.among(ctx, base, some[:half]), w.among(ctx, base, some[half:])...)
}

// otherwise puts an input otherwise than it is, by as little as will do: without its tolerance, if it has one.
func otherwise(in product.Input, down int) product.Put {
	v := in.Value
	if in.Spread == quantity.Exact {
		to := nudged(in)
		if len(to) == 0 {
			to = []float64{1e-6, -1e-6}
		}
		v = to[down]
	}
	return product.Put{Path: in.Path, Source: in.Written(v)}
}

// stands reports whether a promise is on the figure.
func stands(asked *product.Promise, name figures.Name) bool {
	return asked.Study.Text == name.Study && (bind.Plain(asked.Quantity.Text) == bind.Plain(name.Quantity) || name.Study == "fault" && asked.Conditions.Mistake.Text == name.Quantity)
}

// installationOf is that which the first promise on the figure names.
func installationOf(p *product.Product, name figures.Name) string {
	for _, asked := range p.Promises.All() {
		if stands(asked, name) {
			return asked.Conditions.Installation.Text
		}
	}
	return ""
}
