package store

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"time"
)

// MaxZipBytes is the size of the largest zip that is read.
const MaxZipBytes = 64 << 20

// zipTime is the time of every file in an export: the earliest a zip can hold, so that the same texts give the same zip.
var zipTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// WriteZip writes texts as a zip; the same texts give the same bytes.
func WriteZip(w io.Writer, texts []Text) error {
	z := zip.NewWriter(w)
	for _, t := range texts {
		h := &zip.FileHeader{Name: t.Name, Method: zip.Deflate, Modified: zipTime}
		h.SetMode(0o644)
		f, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := f.Write(t.Body); err != nil {
			return err
		}
	}
	return z.Close()
}

// ReadZip reads the texts of a zip. It looks at every name and size before it unpacks anything, and never unpacks more than
// an import may hold, whatever the zip says of itself.
func ReadZip(data []byte) ([]Text, error) {
	if len(data) > MaxZipBytes {
		return nil, fail(TooLarge, "found a zip of %.1f MiB, expected at most %d MiB. Nothing was imported", float64(len(data))/(1<<20), MaxZipBytes>>20)
	}
	if bytes.Count(data, []byte("PK\x01\x02")) > 4*MaxImportFiles { // entries of its directory: reading those alone takes memory
		return nil, fail(TooLarge, "found a zip of more than %d files, expected at most %d documents. Nothing was imported; import it in parts", 4*MaxImportFiles, MaxImportFiles)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, &Error{Code: BadFile, Text: "found a file that is no zip, or a damaged one. Nothing was imported", Cause: err}
	}
	var wanted []*zip.File
	var texts []Text
	var total uint64
	for _, f := range z.File {
		if f.FileInfo().IsDir() {
			continue
		}
		if why := foreign(f.Name); why != "" {
			texts = append(texts, Text{Name: f.Name})
			if len(texts) > MaxImportFiles {
				return nil, fail(TooLarge, "found more than %d files in the zip that are no documents. Nothing was imported", MaxImportFiles)
			}
			continue
		}
		if err := CheckName(f.Name); err != nil {
			return nil, err
		}
		if f.Mode()&fs.ModeType != 0 {
			return nil, fail(BadFile, "found %q in the zip, which is a link or a device, expected plain files. Nothing was imported", cut(f.Name))
		}
		if f.Flags&1 != 0 {
			return nil, fail(BadFile, "found %q in the zip, which is encrypted, expected plain files. Nothing was imported", cut(f.Name))
		}
		if most := maxBytesOf(f.Name); f.UncompressedSize64 > uint64(most) {
			return nil, fail(TooLarge, "found %q in the zip with %d bytes of text, expected at most %d MiB. Nothing was imported", cut(f.Name), f.UncompressedSize64, most>>20)
		}
		if total += f.UncompressedSize64; total > MaxImportBytes {
			return nil, fail(TooLarge, "found more than %d MiB of text in the zip. Nothing was imported; import it in parts", MaxImportBytes>>20)
		}
		if wanted = append(wanted, f); len(wanted) > MaxImportFiles {
			return nil, fail(TooLarge, "found more than %d documents in the zip. Nothing was imported; import it in parts", MaxImportFiles)
		}
	}
	for _, f := range wanted {
		body, err := unpack(f)
		if err != nil {
			return nil, &Error{Code: BadFile, Text: fmt.Sprintf("%q in the zip is damaged. Nothing was imported", cut(f.Name)), Cause: err}
		}
		texts = append(texts, Text{f.Name, body})
	}
	return texts, nil
}

// unpack reads one file of a zip: exactly as many bytes as the zip says, and with the checksum it says.
func unpack(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	body := make([]byte, f.UncompressedSize64)
	if _, err := io.ReadFull(r, body); err != nil {
		return nil, err
	}
	if n, err := r.Read(make([]byte, 1)); n != 0 || err != io.EOF {
		return nil, errors.New("more bytes than the directory of the zip says")
	}
	if crc32.ChecksumIEEE(body) != f.CRC32 {
		return nil, zip.ErrChecksum
	}
	return body, nil
}
