package channel

import "strings"

// Estimated says that the number is an estimate, so that whoever prints it can say so: its description does.
func (c *Channel) Estimated() bool { return strings.Contains(c.Doc, "estimate") }
