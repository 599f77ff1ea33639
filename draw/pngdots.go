package draw

import (
	"encoding/binary"
	"hash/crc32"
	"math"
)

// withDots puts the density into a PNG: a pHYs chunk after the header (PNG specification, 11.3.4.3), dots per metre. The standard library writes none.
func withDots(file []byte, dpi float64) []byte {
	const head = 8 + 25 // signature, IHDR
	chunk := make([]byte, 0, 21)
	chunk = binary.BigEndian.AppendUint32(chunk, 9)
	chunk = append(chunk, "pHYs"...)
	per := uint32(math.Round(dpi / 0.0254))
	chunk = binary.BigEndian.AppendUint32(chunk, per)
	chunk = binary.BigEndian.AppendUint32(chunk, per)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	out := make([]byte, 0, len(file)+len(chunk))
	out = append(out, file[:head]...)
	out = append(out, chunk...)
	return append(out, file[head:]...)
}
