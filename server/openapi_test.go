package server

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"
)

// The description of the API is kept beside the code, so that the page's types can be made without running anything.
// LOWSLUNG_UPDATE=1 rewrites it.
func TestOpenAPI(t *testing.T) {
	got, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	if os.Getenv("LOWSLUNG_UPDATE") != "" {
		if err := os.WriteFile("openapi.json", got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("openapi.json")
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("openapi.json is not what the code says (%v); run LOWSLUNG_UPDATE=1 go test ./server -run OpenAPI", err)
	}
	var doc struct {
		OpenAPI    string
		Paths      map[string]map[string]struct{ OperationID string }
		Components struct{ Schemas map[string]json.RawMessage }
	}
	if err := json.Unmarshal(got, &doc); err != nil || doc.OpenAPI != "3.1.0" {
		t.Fatalf("found version %q, %v", doc.OpenAPI, err)
	}
	if _, ok := doc.Components.Schemas["Problem"]; !ok {
		t.Error("found no schema of problems")
	}
}
