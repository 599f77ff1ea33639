package search

import (
	"fmt"
	"sort"
	"strings"

	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
	"lowslung/travel"
)

// Compiling: the choices become tables of numbers. Choices that concern one link or one shock alone make its variants; all others make
// frames, each a document resolved in full. A combination is a frame, a variant of each component of the front axle, and of the rear.

// A component is a link or a shock that has variants.
type component struct {
	shock    bool
	name     string
	first    int   // of its entries in the model's links or shocks
	count    int   // 1, or 2 with a twin
	choices  []int // that make its variants, in the order of the document
	sizes    []int // how many values each has
	variants []variant
	classes  [][]sub // variants that put the same eyes at the same length, by class; those that do not go together are in none
	bad      int     // how many do not go together
}

// A sub is the variants of one class whose rod ends may swing as far.
type sub struct {
	swing    [2]float64
	variants []int
}

// A variant is a component with one value for each of its choices.
type variant struct {
	links  []solid.Link // shared by the variants of a class
	shocks []solid.Shock
	bad    bool
	items  []int // slots of the items it uses, one entry for each piece
}

// A frame is one combination of the choices that concern more than one link or shock.
type frame struct {
	index  int
	build  *rig.Build
	fit    *solid.Fit
	refit  *rig.Refit
	m      *solid.Model
	axles  [2]axle
	stock  stock
	stands stands
	bad    string // what does not fit, when the document cannot be resolved
}

// An axle is what can be combined on one axle of a frame.
type axle struct {
	present  bool
	parts    []component
	variants int64 // product of the variants
	good     int64 // of those that go together
	kinds    int64 // product of the classes
}

// A space is everything that can be combined.
type space struct {
	b        *rig.Build
	m        *solid.Model // of the document as it is
	choices  []choice
	wants    []want
	prefers  []prefer
	need     [cheapNumbers]bool
	asked    bool  // wants or preferences ask whole builds
	whole    bool  // each is checked as a whole before it stands
	free     []int // choices that take any value between two
	framing  []int
	frames   int
	size     int64    // combinations
	each     int64    // combinations in each frame
	sizes    [2]int64 // variants of each axle
	heaves   []float64
	rolls    []float64
	spans    [2]travel.Span // the same as asked for: heave, mm, and roll, degrees
	had      []mates.Need
	currency string // of prices; empty when there are several or none
}

// split is number n in the mixed radix of sizes, the last counting fastest.
func split(n int64, sizes []int) []int {
	out := make([]int, len(sizes))
	for i := len(sizes) - 1; i >= 0; i-- {
		out[i] = int(n % int64(sizes[i]))
		n /= int64(sizes[i])
	}
	return out
}

// patched is a tree with values for some choices.
func (s *space) patched(tree, full *rig.Node, choices, picks []int) *rig.Node {
	for i, c := range choices {
		if picks[i] > 0 {
			tree = s.choices[c].write(tree, full, s.choices[c].values[picks[i]])
		}
	}
	return tree
}

func (s *space) sizesOf(choices []int) []int {
	out := make([]int, len(choices))
	for i, c := range choices {
		out[i] = len(s.choices[c].values)
	}
	return out
}

// frame compiles one frame.
func (s *space) frame(n int) (*frame, error) {
	f := s.frameOf(n, rig.PatchOf(s.b.Tree, s.patched(s.b.Tree, s.b.Full(), s.framing, split(int64(n), s.sizesOf(s.framing)))))
	if f.bad != "" {
		return f, nil
	}
	for _, g := range s.owners() {
		end, c, err := s.component(f, g.owner, g.choices)
		if err != nil {
			return nil, err
		}
		f.axles[end].put(c)
	}
	f.stock.end(s, f)
	return f, nil
}

// frameOf resolves the document of a frame; nothing varies in it yet.
func (s *space) frameOf(n int, patch *rig.Node) *frame {
	f := &frame{index: n, build: s.b, m: s.m}
	if patch != nil {
		b, err := s.b.With(patch)
		if err != nil {
			f.bad = firstLine(err)
			return f
		}
		f.build = b
	}
	m, fit, err := solid.ResolveFit(f.build)
	if err != nil {
		f.bad = firstLine(err)
		return f
	}
	f.m, f.fit, f.refit = m, fit, f.build.Refit()
	f.stands = standing(m)
	for end := solid.Front; end <= solid.Rear; end++ {
		f.axles[end] = axle{present: f.m.Axles[end].Present, variants: 1, good: 1, kinds: 1}
	}
	f.stock.begin(f)
	return f
}

// put adds a component to what can be combined.
func (ax *axle) put(c component) {
	ax.parts = append(ax.parts, c)
	ax.variants *= int64(len(c.variants))
	ax.good *= int64(len(c.variants) - c.bad)
	ax.kinds *= int64(len(c.classes))
}

// owned are the choices of one link or shock.
type owned struct {
	owner   string
	choices []int
}

func (s *space) owners() []owned {
	var out []owned
	at := map[string]int{}
	for i, c := range s.choices {
		if c.owner == "" {
			continue
		}
		k, ok := at[c.owner]
		if !ok {
			k = len(out)
			at[c.owner] = k
			out = append(out, owned{owner: c.owner})
		}
		out[k].choices = append(out[k].choices, i)
	}
	return out
}

func firstLine(err error) string {
	text, _, _ := strings.Cut(err.Error(), "\n")
	return text
}

// place finds the entries of a link or shock in the model.
func (c *component) place(m *solid.Model) (end solid.End) {
	see := func(i int, name string, axle solid.End) {
		if name == c.name {
			if c.count == 0 {
				c.first, end = i, axle
			}
			c.count++
		}
	}
	if c.shock {
		for i := range m.Shocks {
			see(i, m.Shocks[i].Name, m.Shocks[i].Axle)
		}
	} else {
		for i := range m.Links {
			see(i, m.Links[i].Name, m.Links[i].Axle)
		}
	}
	return end
}

// named is a link or shock of a frame, without variants yet.
func (s *space) named(f *frame, owner string, choices []int) (solid.End, component, error) {
	kind, name, _ := strings.Cut(owner, "/")
	c := component{shock: kind == "shocks", name: name, choices: choices, sizes: s.sizesOf(choices)}
	end := c.place(f.m)
	if c.count == 0 {
		return end, c, fmt.Errorf("found no %s in the model, expected what %q changes", owner, s.choices[choices[0]].name)
	}
	return end, c, nil
}

// kind is the section of the document that a component stands in.
func (c *component) kind() string {
	if c.shock {
		return "shocks"
	}
	return "links"
}

// component makes the variants of one link or shock.
func (s *space) component(f *frame, owner string, choices []int) (solid.End, component, error) {
	end, c, err := s.named(f, owner, choices)
	if err != nil {
		return end, c, err
	}
	total := 1
	for _, n := range c.sizes {
		if total *= n; total > mostVariants {
			return end, c, fmt.Errorf("found more than %d variants of %s, expected fewer: take values out of its choices", mostVariants, owner)
		}
	}
	tree, full := f.build.Tree, f.build.Full()
	classes := map[string]int{}
	for n := range total {
		v := s.variant(f, &c, s.patched(tree, full, choices, split(int64(n), c.sizes)))
		if v.bad {
			c.bad++
			c.variants = append(c.variants, v)
			continue
		}
		key := s.linkKey(v.links) + shockKey(v.shocks)
		k, ok := classes[key]
		if !ok {
			k = len(c.classes)
			classes[key] = k
			c.classes = append(c.classes, nil)
		}
		c.put(k, n, &v)
		c.variants = append(c.variants, v)
	}
	c.ordered()
	return end, c, nil
}

// variant is a component as a tree of the frame's document has it.
func (s *space) variant(f *frame, c *component, tree *rig.Node) variant {
	v := variant{bad: true}
	patch := rig.PatchOf(f.build.Tree.At(c.kind(), c.name), tree.At(c.kind(), c.name))
	if patch == nil {
		patch = &rig.Node{Kind: rig.MapNode}
	}
	if c.shock {
		sh, bad := f.refit.Shock(c.name, patch)
		if len(bad) > 0 {
			return v
		}
		list, err := f.fit.Shocks(c.name, sh)
		for i := range list {
			list[i].Set = f.stands.length(f.m, c.first+i, &list[i])
		}
		v.shocks, v.items, v.bad = list, f.stock.shock(s, sh), err != nil || len(list) != c.count
		return v
	}
	l, bad := f.refit.Link(c.name, patch)
	if len(bad) > 0 {
		return v
	}
	list, err := f.fit.Links(c.name, l)
	v.links, v.items, v.bad = list, f.stock.link(s, l), err != nil || len(list) != c.count
	return v
}

// put puts variant n into a class; variants that are alike share what they are made of.
func (c *component) put(class, n int, v *variant) {
	var swing [2]float64
	if !c.shock {
		swing = v.links[0].Swing
	}
	list := c.classes[class]
	for i := range list {
		if list[i].swing == swing {
			first := &c.variants[list[i].variants[0]]
			v.links, v.shocks = first.links, first.shocks
			list[i].variants = append(list[i].variants, n)
			return
		}
	}
	c.classes[class] = append(list, sub{swing, []int{n}})
}

// mostVariants of one link or shock are made: more would take longer than the search.
const mostVariants = 1 << 18

// linkKey is what tells links apart in everything that is cheap but money.
func (s *space) linkKey(list []solid.Link) string {
	var b strings.Builder
	for i := range list {
		l := &list[i]
		fmt.Fprintf(&b, "%x %x %x %x %x", l.From, l.To, l.Length, l.FromBolt, l.ToBolt)
		if s.need[antiLift] || s.need[antiSquat] {
			fmt.Fprintf(&b, " %x", l.Mass)
		}
	}
	return b.String()
}

func shockKey(list []solid.Shock) string {
	var b strings.Builder
	for i := range list {
		k := &list[i]
		fmt.Fprintf(&b, "%v %v %x %x %x %x", k.Top, k.Bottom, k.Open, k.Closed, k.Set, k.Mass)
	}
	return b.String()
}

// ordered puts the classes in the order of eyes and length (links) or set length (shocks), so that neighbours are alike.
func (c *component) ordered() {
	key := func(k int) [3]float64 {
		v := &c.variants[c.classes[k][0].variants[0]]
		if c.shock {
			return [3]float64{v.shocks[0].Set, v.shocks[0].Open}
		}
		l := &v.links[0]
		return [3]float64{l.From.X + 1e3*l.From.Z, l.To.X + 1e3*l.To.Z, l.Length}
	}
	order := make([]int, len(c.classes))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		x, y := key(order[a]), key(order[b])
		for i := range x {
			if x[i] != y[i] {
				return x[i] < y[i]
			}
		}
		return false
	})
	sorted := make([][]sub, len(order))
	for i, k := range order {
		sorted[i] = c.classes[k]
	}
	c.classes = sorted
}

// fit puts a variant into a bench's model.
func (c *component) fit(b *bench, v *variant) {
	if c.shock {
		copy(b.m.Shocks[c.first:], v.shocks)
	} else {
		copy(b.m.Links[c.first:], v.links)
	}
}
