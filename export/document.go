package export

import (
	"lowslung/rig"
)

// Document is the build's document as JSON, bases merged, in the order it was written: lowslung reads it again as the same rig. Bins and meshes stay
// files beside it, under the names that it has for them.
func Document(b *rig.Build) []byte { return b.Tree.JSON() }
