//go:build !(goexperiment.simd && amd64)

package travel

// vectors says whether lanes share instructions: not in this build.
const vectors = false

func (b *Batch) solveVectors() { b.solvePlain() }
