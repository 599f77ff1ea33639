package rig

// A Source reads one file of a workshop. The name is slash-separated and relative to the workshop folder; it never
// leaves it. The error of a file that is not there satisfies errors.Is(err, fs.ErrNotExist).
type Source func(name string) ([]byte, error)

// A Build is a document as it was read: the text's tree after merging its bases, and the typed document with the bin
// items filled in.
type Build struct {
	File  string    // name given to Load
	Doc   *Document // typed, bases merged, items filled in
	Tree  *Node     // merged tree before items were filled in: what compare reads
	Files []string  // every file read, in order: the document, its bases from near to far, its bins
	Bins  []*Bin    // as named by the merged document, in order
}

// Load reads the named document with its bases and bins. All mistakes found are returned together as Diagnostics; the
// build is nil when there is any.
func Load(src Source, name string) (*Build, error) { panic("to be written") }

// A Diagnostic is one mistake in a text: where, what was found, what was expected, and the nearest valid name.
type Diagnostic struct {
	Code  string // stable: "unknown-key", "wrong-unit", "no-such-hole", …
	Place Place
	Text  string // "found …, expected …; did you mean …?"
}

// Diagnostics are all mistakes of a document, in the order of file and place. Error prints one per line as
// file:line:col: text.
type Diagnostics []Diagnostic

func (d Diagnostics) Error() string { panic("to be written") }

// A Node is one value of a document's tree with the place where it was written.
type Node struct {
	Place  Place
	Kind   NodeKind
	Text   string // scalar as written, without quotes
	Quoted bool   // scalar was quoted, so it is text and never a number, a truth value or null
	Keys   []Key  // of a map, in the order written
	List   []*Node
}

// A Key is one entry of a map node.
type Key struct {
	Name  string
	Place Place
	Value *Node
}

// NodeKind is what a Node is.
type NodeKind uint8

// Kinds of nodes.
const (
	NullNode NodeKind = iota
	ScalarNode
	ListNode
	MapNode
)
