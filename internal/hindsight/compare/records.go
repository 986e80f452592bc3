package compare

import (
	"context"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/study/returns"
)

// Records is what happened to units of one revision, or of all.
type Records struct {
	Revision   string // "": all together
	Sold, Back returns.Count
	Share      returns.Interval // that came back, 95 %
	P          float64          // that ages or rates differ so much from the others' by chance, after Holm; below 0: not compared
}

// records are those of each revision in the order in which they were made, and of all together; none where nothing is recorded.
func records(ctx context.Context, base *product.Product) (split []Records, all *Records, err error) {
	r, err := returns.Run(ctx, bind.Returns(base))
	if err != nil {
		return nil, nil, err
	}
	of := func(g *returns.Group) Records { return Records{g.Name, g.Sold, g.Back, g.Share, g.P} }
	for i := range r.Revisions {
		if g := &r.Revisions[i]; g.Name != "" && g.Sold.High > 0 {
			split = append(split, of(g))
		}
	}
	if r.All.Sold.High > 0 {
		one := of(&r.All)
		one.Revision, one.P = "", -1
		all = &one
	}
	return split, all, nil
}
