package numeric

import (
	"context"
	"sync/atomic"
)

// A Progress is told how much of a piece of work is done: so many of its jobs. It is called by several goroutines at once.
type Progress func(what string, done, of int)

type (
	progressKey struct{}
	workKey     struct{}
)

// WithProgress returns a context under which Parallel tells how far it is with work that Doing has named.
func WithProgress(ctx context.Context, tell Progress) context.Context {
	return context.WithValue(ctx, progressKey{}, tell)
}

// Doing returns a context that names the work done under it.
func Doing(ctx context.Context, what string) context.Context {
	if tell, _ := ctx.Value(progressKey{}).(Progress); tell == nil {
		return ctx
	}
	return context.WithValue(ctx, workKey{}, what)
}

// Part returns a context under which all work is told of as that of a part of something larger: "the part: the work".
func Part(ctx context.Context, part string) context.Context {
	tell, _ := ctx.Value(progressKey{}).(Progress)
	if tell == nil {
		return ctx
	}
	return WithProgress(ctx, func(what string, done, of int) { tell(part+": "+what, done, of) })
}

// Quietly returns a context under which no progress is told of, for the parts of a job that is itself counted.
func Quietly(ctx context.Context) context.Context {
	return context.WithValue(ctx, progressKey{}, Progress(nil))
}

// counting returns what is to be called after each of the jobs of a piece of work.
func counting(ctx context.Context, jobs int) func() {
	tell, _ := ctx.Value(progressKey{}).(Progress)
	what, named := ctx.Value(workKey{}).(string)
	if tell == nil || !named {
		return func() {}
	}
	var done atomic.Int64
	return func() { tell(what, int(done.Add(1)), jobs) }
}
