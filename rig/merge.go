package rig

// Merge applies patch to target as RFC 7396 (JSON Merge Patch), section 2, says: a map is merged key by key, null removes
// a key, anything else replaces. Neither is changed; what the result keeps, it keeps with its place; a merged map has that of the patch. New keys come after
// those of the target, in the order of the patch. A nil target is nothing; a nil patch changes nothing.
func Merge(target, patch *Node) *Node {
	if patch == nil {
		return target
	}
	if patch.Kind != MapNode {
		return patch
	}
	out := &Node{Place: patch.Place, Kind: MapNode}
	var at map[string]int
	if target != nil && target.Kind == MapNode {
		out.Keys = append(make([]Key, 0, len(target.Keys)+len(patch.Keys)), target.Keys...)
		at = out.index()
	} else {
		out.Keys = make([]Key, 0, len(patch.Keys))
		at = make(map[string]int, len(patch.Keys))
	}
	removed := false
	for _, key := range patch.Keys {
		i, there := at[key.Name]
		switch {
		case key.Value.Kind == NullNode:
			if there {
				out.Keys[i].Value, removed = nil, true
			}
		case there:
			out.Keys[i].Value = Merge(out.Keys[i].Value, key.Value)
		default:
			key.Value = Merge(nil, key.Value)
			at[key.Name] = len(out.Keys)
			out.Keys = append(out.Keys, key)
		}
	}
	if removed {
		kept := out.Keys[:0]
		for _, key := range out.Keys {
			if key.Value != nil {
				kept = append(kept, key)
			}
		}
		out.Keys = kept
	}
	return out
}
