package server

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
)

// A page of another site that gets the browser to talk to this address (DNS rebinding) shows itself by its own host name.
func TestHostNames(t *testing.T) {
	b := openShop(t)
	port := b.base[strings.LastIndex(b.base, ":"):]
	for _, good := range []string{"127.0.0.1" + port, "localhost" + port, "LOCALHOST" + port, "[::1]" + port} {
		b.do("GET", "/api/rigs", nil, "Host", good).want(200)
		b.do("GET", "/", nil, "Host", good).want(200)
	}
	for _, bad := range []string{"evil.test" + port, "127.0.0.1.evil.test" + port, "localhost", "127.0.0.1", "127.0.0.1:1", "localhost.evil.test" + port, "0.0.0.0" + port, "[::]" + port} {
		for _, path := range []string{"/api/rigs", "/", "/openapi.json", eventsPath} {
			b.do("GET", path, nil, "Host", bad).problem(421, "host name")
		}
	}
}

func TestCrossSite(t *testing.T) {
	b := openShop(t)
	rig := b.find("bramble.rig.yaml")
	body := map[string]string{"file": "evil.rig.yaml", "text": "lowslung: 1\n"}
	for _, headers := range [][]string{
		{"Origin", "http://evil.test"},
		{"Origin", "null"},
		{"Origin", "http://127.0.0.1:1"},
		{"Sec-Fetch-Site", "cross-site"},
		{"Sec-Fetch-Site", "same-site"},
		{"Origin", b.base, "Sec-Fetch-Site", "cross-site"},
	} {
		b.do("POST", "/api/rigs", body, headers...).problem(403, "another site")
		b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": "lowslung: 1\n"}, append(headers, "If-Match", tag(rig))...).problem(403)
		b.do("DELETE", "/api/rigs/"+rig.ID, nil, append(headers, "If-Match", tag(rig))...).problem(403)
		// What a form of another site can send without asking first.
		b.do("POST", "/api/rigs", []byte(`{"file":"evil.rig.yaml","text":"lowslung: 1\n"}`), append(headers, "Content-Type", "text/plain")...).problem(403)
	}
	b.do("GET", "/api/rigs/"+rig.ID+"/travel", nil, "Sec-Fetch-Site", "cross-site").problem(403)
	b.do("GET", eventsPath, nil, "Sec-Fetch-Site", "cross-site").problem(403)
	b.do("POST", "/api/rigs", map[string]string{"file": "mine.rig.yaml", "text": "lowslung: 1\n"}, "Origin", b.base, "Sec-Fetch-Site", "same-origin").want(201)
	b.do("POST", "/api/rigs", map[string]string{"file": "mine2.rig.yaml", "text": "lowslung: 1\n"}).want(201) // no browser
	b.do("GET", "/", nil, "Sec-Fetch-Site", "cross-site").want(200)                                           // a link to the workbench
	if r := b.do("OPTIONS", "/api/rigs", nil, "Origin", "http://evil.test", "Access-Control-Request-Method", "PUT"); r.Header.Get("Access-Control-Allow-Origin") != "" {
		t.Error("another site was allowed in")
	}
}

func TestHeaders(t *testing.T) {
	b := openShop(t)
	for _, path := range []string{"/", "/assets/index-abc.js", "/api/rigs", "/api/none", "/openapi.json", "/nothing.js"} {
		h := b.do("GET", path, nil).Header
		csp := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(csp, want) {
				t.Errorf("%s: found policy %q, expected %q", path, csp, want)
			}
		}
		if strings.Contains(csp, "unsafe") {
			t.Errorf("%s: found %q", path, csp)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cross-Origin-Resource-Policy": "same-origin"} {
			if h.Get(name) != want {
				t.Errorf("%s: found %s %q, expected %q", path, name, h.Get(name), want)
			}
		}
		if strings.HasPrefix(path, "/api") && h.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: found Cache-Control %q", path, h.Get("Cache-Control"))
		}
	}
}

func TestPage(t *testing.T) {
	b := openShop(t)
	index := b.do("GET", "/", nil).want(200)
	if index.Header.Get("Content-Type") != "text/html; charset=utf-8" || index.Header.Get("Cache-Control") != "no-cache" {
		t.Errorf("found %v", index.Header)
	}
	if r := b.do("GET", "/rig/3", nil).want(200); !bytes.Equal(r.Raw, index.Raw) {
		t.Error("a place within the page is not the page")
	}
	b.do("GET", "/", nil, "If-None-Match", index.Header.Get("ETag")).want(304)
	script := b.do("GET", "/assets/index-abc.js", nil).want(200)
	if !strings.Contains(script.Header.Get("Cache-Control"), "immutable") || script.Header.Get("Content-Type") != "text/javascript; charset=utf-8" {
		t.Errorf("found %v", script.Header)
	}
	zipped := b.do("GET", "/assets/index-abc.js", nil, "Accept-Encoding", "gzip").want(200)
	if zipped.Header.Get("Content-Encoding") != "gzip" || len(zipped.Raw) > 500 {
		t.Errorf("found %d bytes, %v, expected gzip", len(zipped.Raw), zipped.Header)
	}
	b.do("GET", "/nothing.js", nil).problem(404)
	b.do("GET", "/../../etc/passwd", nil) // must not leave the page
	b.do("GET", "/api/nothing", nil).problem(404)
	b.do("POST", "/", nil).problem(405)
	b.do("GET", "/openapi.json", nil).want(200)
	b.do("GET", "/docs", nil).want(200) // a place of the page, not the library's own, which loads from the net
}

func TestLimits(t *testing.T) {
	b := openShop(t)
	huge := bytes.Repeat([]byte("x"), 6<<20)
	b.do("POST", "/api/rigs", map[string]string{"file": "huge.rig.yaml", "text": string(huge)}).problem(413)
	b.do("POST", "/api/workshop/import", append([]byte("PK\x05\x06"), bytes.Repeat([]byte{0}, 65<<20)...), "Content-Type", zipType).problem(413)
	b.do("POST", "/api/rigs", []byte(`{"file": "x.rig.yaml", "text": `)).problem(400)
	b.do("POST", "/api/rigs", []byte("{\"file\": \"x.rig.yaml\", \"text\": \"lowslung: 1\\nname: \xff\"}")).problem(400, "UTF-8")
	p := b.do("POST", "/api/rigs", []byte(`{"file": 7}`)).problem(422)
	if len(p.Errors) == 0 || p.Errors[0].Location != "body.file" {
		t.Errorf("found %+v", p.Errors)
	}
	rig := b.find("bramble.rig.yaml")
	b.do("GET", "/api/rigs/"+rig.ID+"/travel?heave=-100:100:0.5&roll=-40:40:0.2", nil).problem(422, "poses")
	b.do("GET", "/api/rigs/"+rig.ID+"/travel?heave=5", nil).want(200)
	b.do("GET", "/api/rigs/"+rig.ID+"/travel?heave=x", nil).problem(422, "from:to:step")
	b.do("GET", "/api/rigs/"+rig.ID+"/travel?axle=middle", nil).problem(422)
	b.do("GET", "/api/rigs/"+rig.ID+"/check?units=furlong", nil).problem(422)
	b.do("GET", "/api/rigs/"+rig.ID+"/balance?move=nothing", nil).problem(422)
	b.do("GET", "/api/rigs/"+rig.ID+"/pull?axle=rear&left=1e9", nil).problem(422)
	b.do("GET", "/api/rigs/"+rig.ID+"/pull", nil).problem(422)
	b.do("GET", "/api/compare?rig="+rig.ID, nil).problem(422)

	req, err := http.NewRequest("GET", b.base+"/api/rigs", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("X-Long", strings.Repeat("x", 1<<20))
	if res, err := http.DefaultClient.Do(req); err == nil {
		res.Body.Close()
		if res.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
			t.Errorf("found %d for a megabyte of headers", res.StatusCode)
		}
	}
}

// The log says what happened and never what is in a document.
func TestLogHoldsNoTexts(t *testing.T) {
	b := openShop(t)
	const secret = "Geheimrezept"
	rig := b.do("POST", "/api/rigs", map[string]string{"file": "secret.rig.yaml", "text": "lowslung: 1\nname: " + secret + "\n"}).want(201).rig()
	b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": "lowslung: 1\nnmae: " + secret + "\n"}, "If-Match", tag(rig)).problem(422)
	b.do("GET", "/api/rigs/"+rig.ID+"/balance?move="+secret+":1,2,3", nil)
	b.store.Close()
	b.do("GET", "/api/rigs/"+rig.ID, nil).problem(500)
	log := b.log.String()
	if strings.Contains(log, secret) {
		t.Errorf("found a document's text in the log:\n%s", log)
	}
	if !strings.Contains(log, "cause") || !strings.Contains(log, "status=500") {
		t.Errorf("found no cause in the log:\n%s", log)
	}
}
