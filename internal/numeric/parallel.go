package numeric

import (
	"context"
	"math"
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// Parallel calls do once for each job 0..jobs-1, on all cores. What a job is must not depend on
// the number of cores: cut the work into a fixed number of jobs, let each write
// to its own place and draw from its own Stream, and add up in order of jobs
// afterwards; then the result is the same on one core or many.
//
// The error is that of the first failing job in order of jobs, whichever failed first in
// time; jobs behind a failed one may be left out. When ctx ends, no further job is begun, and
// its error is returned unless a job failed before. do must be safe for use
// by several goroutines.
func Parallel(ctx context.Context, jobs int, do func(job int) error) error {
	var next, failed atomic.Int64
	failed.Store(math.MaxInt64)
	errs := make([]error, max(jobs, 0))
	count := counting(ctx, jobs)
	work := func() error {
		for {
			job := next.Add(1) - 1
			if job >= int64(jobs) || job > failed.Load() {
				return nil
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			if errs[job] = do(int(job)); errs[job] != nil {
				lower(&failed, job)
			}
			count()
		}
	}
	var group errgroup.Group
	for range min(jobs, runtime.GOMAXPROCS(0)) {
		group.Go(work)
	}
	stopped := group.Wait()
	if job := failed.Load(); job < int64(jobs) {
		return errs[job]
	}
	return stopped
}

// lower sets v to job unless it is less already.
func lower(v *atomic.Int64, job int64) {
	for old := v.Load(); job < old; old = v.Load() {
		if v.CompareAndSwap(old, job) {
			return
		}
	}
}
