package rig

// check holds the merged document against itself.
func check(r *reporter, b *Build, full *Node) {
}
