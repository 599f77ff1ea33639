// Package mates answers: does everything go together, and what is missing?
//
// In: a solid.Model (its document's parts, ports and mates, and the bins for what would fit) and, to compare, the model of the base
// build. Out: joints with their fit in words, needs that nothing meets, what is left over, reused, bought and made, and the order to
// put it together. The rules of each pair of port types stand in one table, rules.go, each with its source.
package mates
