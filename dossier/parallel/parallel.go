package parallel

import (
	"runtime"
	"sync"
)

// All does several things at once.
func All(tasks ...func()) {
	Each(len(tasks), func(i int) { tasks[i]() })
}

// Each calls f for 0 to n-1 on as many goroutines as there are processors.
func Each(n int, f func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}
