package search

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/mates"
	"lowslung/rig"
	"lowslung/solid"
)

// Patches: a build found, as a document with the build searched from as its base.

// Write is the text of a document that changes base by a patch.
func Write(base, name string, patch *rig.Node) string {
	var b strings.Builder
	b.WriteString("lowslung: 1\n")
	fmt.Fprintf(&b, "base: %s\n", rig.Scalar(base))
	if name != "" {
		fmt.Fprintf(&b, "name: %s\n", rig.Scalar(name))
	}
	if patch != nil {
		block(&b, patch, 0)
	}
	return b.String()
}

// block writes a map key by key; a map of single values only stands on one line where it is not too long.
func block(b *strings.Builder, n *rig.Node, depth int) {
	for _, k := range n.Keys {
		line := strings.Repeat("  ", depth) + rig.Scalar(k.Name) + ":"
		text := k.Value.Line()
		switch {
		case k.Value.Kind != rig.MapNode || len(k.Value.Keys) == 0 || depth > 1 && len(line)+len(text) < 100:
			fmt.Fprintf(b, "%s %s\n", line, text)
		default:
			fmt.Fprintln(b, line)
			block(b, k.Value, depth+1)
		}
	}
}

// An adding is one part that a need asks for and only one bin item meets.
type adding struct {
	patch *rig.Node
	words string
}

// additions are the parts that the build as it is lacks and that there is no doubt about, found by trying: with the part in, the need is met.
// They are added to every build found.
func (s *space) additions() []adding {
	a, err := mates.Assess(s.m, mates.Options{})
	if err != nil {
		return nil
	}
	var out []adding
	for _, u := range a.Unmet {
		if len(u.WouldFit) != 1 {
			continue
		}
		if one, ok := s.addition(u); ok {
			out = append(out, one)
		}
	}
	return out
}

func (s *space) addition(u mates.Unmet) (adding, bool) {
	id := u.WouldFit[0]
	item, ok := s.b.Item(id)
	if !ok {
		return adding{}, false
	}
	where := assemblyOf(s.b.Doc, u.Part)
	name := item.Kind + " for " + u.Port
	if _, taken := partOf(s.b.Doc, name); taken || where == "" {
		return adding{}, false
	}
	scalar := func(text string) *rig.Node { return &rig.Node{Kind: rig.ScalarNode, Text: text} }
	part := mapOf("item", scalar(id), "on", scalar(u.Part))
	if u.Count == 2 {
		part.Keys = append(part.Keys, rig.Key{Name: "pair", Value: scalar("true")})
	}
	owner, _ := partOf(s.b.Doc, u.Part)
	if port, ok := owner.Ports.Get(u.Port); ok && port.At != nil {
		at := &rig.Node{Kind: rig.ListNode}
		for _, v := range port.At {
			at.List = append(at.List, scalar(fmt.Sprintf("%g", float64(v))))
		}
		part.Keys = append(part.Keys, rig.Key{Name: "at", Value: at})
	}
	for _, port := range item.Ports.Names() {
		mate := &rig.Node{Kind: rig.ListNode, List: []*rig.Node{scalar(name + "/" + port), scalar(u.Part + "/" + u.Port)}}
		patch := mapOf(where, mapOf("parts", mapOf(name, part)), "mates", mapOf(name, mate))
		_, m, err := s.build(patch)
		if err != nil {
			continue
		}
		a, err := mates.Assess(m, mates.Options{})
		if err != nil || slices.ContainsFunc(a.Unmet, func(v mates.Unmet) bool { return v.Part == u.Part && v.Port == u.Port }) ||
			slices.ContainsFunc(a.Joints, func(j mates.Joint) bool { return j.Name == name && !j.OK }) {
			continue
		}
		words := fmt.Sprintf("%s (%s), on %s of %s: it needs %s, and nothing else in the bin fits", id, title(item), u.Port, u.Part, u.Needs)
		return adding{patch, words}, true
	}
	return adding{}, false
}

func title(p *rig.Part) string {
	if p.Title != "" {
		return p.Title
	}
	return p.Kind
}

func mapOf(pairs ...any) *rig.Node {
	n := &rig.Node{Kind: rig.MapNode}
	for i := 0; i < len(pairs); i += 2 {
		n.Keys = append(n.Keys, rig.Key{Name: pairs[i].(string), Value: pairs[i+1].(*rig.Node)})
	}
	return n
}

func assemblyOf(d *rig.Document, part string) string {
	if _, ok := d.Chassis.Parts.Get(part); ok {
		return "chassis"
	}
	for end, a := range []*rig.Axle{d.Front, d.Rear} {
		if a != nil {
			if _, ok := a.Parts.Get(part); ok {
				return solid.End(end).String()
			}
		}
	}
	return ""
}

// Rebase is a build's patch with another way to its base: that of the folder it is to lie in.
func Rebase(patch, base string) string {
	head, rest, _ := strings.Cut(patch, "\n")
	_, rest, _ = strings.Cut(rest, "\n")
	return head + "\nbase: " + rig.Scalar(base) + "\n" + rest
}
