package runs

import (
	"crypto/rand"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// nameFile holds a workshop's name among those that share a database.
const nameFile = "searches.workshop"

// WorkshopName is the name under which a workshop's runs stand in a database that it shares with others: made up once and kept in its folder,
// as the numbers of documents are each workshop's own. A folder that is moved takes the name along.
func WorkshopName(folder string) (string, error) {
	path := filepath.Join(folder, nameFile)
	text, err := os.ReadFile(path)
	if name := strings.TrimSpace(string(text)); err == nil && name != "" {
		return name, nil
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	name := rand.Text()
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600) // one that is empty was cut short
	if err != nil {
		return "", err
	}
	_, err = f.WriteString(name + "\n")
	return name, errors.Join(err, f.Sync(), f.Close())
}
