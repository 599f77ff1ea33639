package search

import (
	"context"
	"sync"
)

// ordered does pieces from to n on some workers and takes what they give in the order of the pieces, on the caller's goroutine. It stops
// at the first error of take, or when the context ends; what was taken by then is whole pieces in their order.
func ordered[T any](ctx context.Context, workers, from, n int, do func(worker, i int) T, take func(i int, v T) error) error {
	if from >= n {
		return ctx.Err()
	}
	type done struct {
		i int
		v T
	}
	inner, cancel := context.WithCancel(ctx)
	defer cancel()
	workers = max(1, min(workers, n-from))
	todo, results := make(chan int), make(chan done, workers)
	// No more pieces are under way than this, so that what waits for its turn stays small.
	ahead := make(chan struct{}, 4*workers)
	var group sync.WaitGroup
	group.Go(func() {
		defer close(todo)
		for i := from; i < n; i++ {
			select {
			case ahead <- struct{}{}:
			case <-inner.Done():
				return
			}
			select {
			case todo <- i:
			case <-inner.Done():
				return
			}
		}
	})
	for w := range workers {
		group.Go(func() {
			for i := range todo {
				v := do(w, i)
				select {
				case results <- done{i, v}:
				case <-inner.Done():
					return
				}
			}
		})
	}
	defer group.Wait()
	defer cancel()
	waiting := map[int]T{}
	for next := from; next < n; {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case d := <-results:
			waiting[d.i] = d.v
		}
		for {
			v, ok := waiting[next]
			if !ok {
				break
			}
			delete(waiting, next)
			if err := take(next, v); err != nil {
				return err
			}
			next++
			<-ahead
		}
	}
	return nil
}
