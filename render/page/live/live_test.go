package live_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page/live"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// disk is a job file that tests change.
type disk struct {
	mu   sync.Mutex
	data []byte
	n    int
	err  error
}

func (d *disk) put(data []byte, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.data, d.err = data, err
	d.n++
}

// touch changes the file's bytes but not the house in it.
func (d *disk) touch() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.data = append(d.data[:len(d.data):len(d.data)], '\n')
	d.n++
}

func (d *disk) source(string) ([]byte, string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.data, fmt.Sprint(d.n), d.err
}

func served(t testing.TB, opt live.Options) (*live.Desk, *httptest.Server, *disk) {
	t.Helper()
	file := &disk{data: networktest.Example(t, "two-floor")}
	opt.Name, opt.Source, opt.Every = "house.toml", file.source, 20*time.Millisecond
	desk, err := live.New(opt)
	require.NoError(t, err)
	s := httptest.NewServer(desk)
	t.Cleanup(s.Close)
	return desk, s, file
}

type answer struct {
	Revision int
	Problem  string
	Note     string
	State    string
	Parts    string
	Overview string
	TOML     string `json:"toml"`
	Ms       float64
	Moving   bool
	States   []struct{ Name, Level string }
	Knobs    []struct {
		Path, Text, Damper string
		Value              float64
		Active             bool
	}
}

// ask sends a question as the page does.
func ask(t testing.TB, url, question string) (a answer) {
	t.Helper()
	r, err := http.Post(url+"/solve", "application/json", strings.NewReader(question))
	require.NoError(t, err)
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, r.StatusCode, string(body))
	require.NoError(t, json.Unmarshal(body, &a))
	return a
}

// outcome solves with settings by the straight way, as the solve command does with --set.
func outcome(t testing.TB, data []byte, alternative, name string, set ...string) *state.Outcome {
	t.Helper()
	in, err := trial.Open("house.toml", data, alternative, set)
	require.NoError(t, err)
	for _, s := range in.States() {
		if s.Name == name {
			c, err := in.Solve(t.Context(), s)
			require.NoError(t, err)
			return c.Outcome
		}
	}
	require.Fail(t, "no such state")
	return nil
}

const loft = "design-cooling: loft"

// What the page is told is what the file gives with the same settings.
func TestAnswersAgreeWithTheSolver(t *testing.T) {
	_, s, file := served(t, live.Options{})
	for _, c := range []struct {
		name, alternative string
		path, value       string
	}{
		{"as it stands", "", "", ""},
		{"a stop", "", "damper.main.stop", "70 %"},
		{"a stop as a number", "", "damper.main.stop", "55"},
		{"blade degrees", "", "damper.main.stop", "22 deg from shut"},
		{"an alternative", "bypass-to-plenum", "", ""},
		{"the weight of a bypass", "bypass-to-plenum", "bypass.relief.opens-at", "0.12 inwc"},
		{"a tap", "", "equipment.cooling.tap", "medium"},
		{"a duct", "", "supply.trunk.size", "20x12 in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			set, sets := "[]", []string{}
			if c.path != "" {
				set = fmt.Sprintf(`[{"path":%q,"value":%q}]`, c.path, c.value)
				sets = []string{c.path + "=" + c.value}
			}
			a := ask(t, s.URL, fmt.Sprintf(`{"alternative":%q,"state":%q,"set":%s}`, c.alternative, loft, set))
			require.Empty(t, a.Problem)
			o := outcome(t, file.data, c.alternative, loft, sets...)
			assert.Equal(t, loft, a.State)
			assert.Contains(t, a.Parts, strings.ReplaceAll(sheet.Sentence(o, o.Graph.Job.Units), "'", "&#39;"))
			assert.Contains(t, a.Parts, "<svg")
		})
	}
}

// Wrong settings are refused with the reader's words; the page keeps what it shows.
func TestWrongSettings(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	for _, c := range []struct{ name, path, value, want string }{
		{"no number", "damper.main.stop", "purple", "purple"},
		{"too much", "damper.main.stop", "140 %", "140 %"},
		{"no such damper", "damper.mian.stop", "40 %", `did you mean`},
		{"no such thing", "weather.summer", "hot", "hot"},
		{"impossible", "equipment.filter.loading", "-3", "-3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := ask(t, s.URL, fmt.Sprintf(`{"state":%q,"set":[{"path":%q,"value":%q}]}`, loft, c.path, c.value))
			assert.Contains(t, a.Problem, c.want)
			assert.Empty(t, a.Parts)
		})
	}
}

// A question whose asker has left is not worked on, and nothing is written for it.
func TestAbandonedQuestions(t *testing.T) {
	desk, _, _ := served(t, live.Options{})
	for path, questions := range map[string][]string{
		"/solve": {
			`{"all":true}`, `{"state":"design-cooling: loft"}`,
			`{"moving":true,"set":[{"path":"damper.main.stop","value":"30 %"}]}`,
		},
		"/explain": {`{"state":"design-cooling: loft","name":"external static"}`},
	} {
		for _, q := range questions {
			ended, end := context.WithCancel(t.Context())
			end()
			r := httptest.NewRequestWithContext(ended, "POST", path, strings.NewReader(q))
			r.Host = "localhost"
			r.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			desk.ServeHTTP(w, r)
			assert.Empty(t, w.Body.String(), q)

			r = httptest.NewRequestWithContext(t.Context(), "POST", path, strings.NewReader(q))
			r.Host = "localhost"
			r.Header.Set("Content-Type", "application/json")
			w = httptest.NewRecorder()
			desk.ServeHTTP(w, r)
			assert.NotEmpty(t, w.Body.String(), "%s: the next who asks is answered", q)
			assert.NotContains(t, w.Body.String(), `"problem"`, q)
		}
	}
}

// TOML has each key once: of several settings of one path the last holds, in the answer and in the text.
func TestSettingTwiceIsWrittenOnce(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	a := ask(t, s.URL, `{"set":[{"path":"damper.main.stop","value":"20 %"},{"path":"damper.main.stop","value":"30 %"}]}`)
	require.Empty(t, a.Problem)
	assert.NotContains(t, a.TOML, "20 %")
	assert.Contains(t, a.TOML, `damper.main.stop = "30 %"`)
	for _, k := range a.Knobs {
		if k.Path == "damper.main.stop" {
			assert.Equal(t, "30 %", k.Text)
		}
	}
}

// A call state that does not exist is said to be missing: the answer is about another one.
func TestUnknownStateIsSaid(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	a := ask(t, s.URL, `{"state":"design-cooling: cellar"}`)
	assert.Contains(t, a.Note, `There is no call state "design-cooling: cellar" here`)
	assert.Equal(t, a.States[0].Name, a.State)
	assert.Empty(t, ask(t, s.URL, `{"state":"design-cooling: loft"}`).Note)
}

func TestAllStates(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	a := ask(t, s.URL, `{"all":true}`)
	assert.Len(t, a.States, 9)
	for _, l := range a.States {
		assert.Contains(t, []string{"ok", "caution", "fault"}, l.Level)
	}
	assert.Equal(t, a.States[0].Name, a.State, "without a state it is the first")
	assert.Contains(t, a.Overview, "<table")
	for _, k := range a.Knobs {
		if k.Path == "damper.main.stop" {
			assert.Equal(t, "40 %", k.Text)
			assert.False(t, k.Active, "main calls in the first state")
		}
	}
}

// The change as TOML, put into the file, gives what the page showed.
func TestChangeAsTOML(t *testing.T) {
	_, s, file := served(t, live.Options{})
	a := ask(t, s.URL, fmt.Sprintf(`{"state":%q,"set":[{"path":"damper.main.stop","value":"70 %%"},{"path":"equipment.filter.loading","value":"2.5"},{"path":"supply.trunk.size","value":"20x12 in"}]}`, loft))
	require.Contains(t, a.TOML, "[alternative.tried]")
	line := 0
	for i, l := range strings.Split(string(file.data), "\n") {
		if strings.HasPrefix(l, `main = { size = "14 in", blade`) {
			line = i + 1
		}
	}
	assert.Contains(t, a.TOML, fmt.Sprintf("line %d: damper.main.stop = \"70 %%\"", line))
	changed := append(bytes.Clone(file.data), []byte("\n"+a.TOML)...)
	want := outcome(t, file.data, "", loft, "damper.main.stop=70 %", "equipment.filter.loading=2.5", "supply.trunk.size=20x12 in")
	got := outcome(t, changed, "tried", loft)
	assert.Equal(t, want.Blower.Airflow, got.Blower.Airflow)

	a = ask(t, s.URL, `{"alternative":"dump-zone","set":[{"path":"damper.main.stop","value":"10 %"}]}`)
	changed = append(bytes.Clone(file.data), []byte("\n"+a.TOML)...)
	want = outcome(t, file.data, "dump-zone", loft, "damper.main.stop=10 %")
	assert.Equal(t, want.Blower.Airflow, outcome(t, changed, "tried", loft).Blower.Airflow)
	assert.Empty(t, ask(t, s.URL, `{}`).TOML)
}

// events reads the page's news.
func events(t testing.TB, url string) (next func() (revision int, problem string)) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, url+"/events", nil)
	require.NoError(t, err)
	res, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	t.Cleanup(func() { cancel(); res.Body.Close() })
	assert.Equal(t, "text/event-stream", res.Header.Get("Content-Type"))
	lines := make(chan string, 64)
	go func() {
		defer close(lines)
		buffer, rest := make([]byte, 1<<16), ""
		for {
			n, err := res.Body.Read(buffer)
			rest += string(buffer[:n])
			for {
				line, after, ok := strings.Cut(rest, "\n\n")
				if !ok {
					break
				}
				lines <- line
				rest = after
			}
			if err != nil {
				return
			}
		}
	}()
	return func() (int, string) {
		t.Helper()
		select {
		case line := <-lines:
			var e struct {
				Revision int
				Problem  string
			}
			require.NoError(t, json.Unmarshal([]byte(strings.TrimPrefix(line, "data: ")), &e), line)
			return e.Revision, e.Problem
		case <-time.After(10 * time.Second):
			require.Fail(t, "no news")
		}
		return 0, ""
	}
}

// The file changes, breaks, goes away and comes back: the page hears of each, and the last good file goes on being solved.
func TestFileChanges(t *testing.T) {
	desk, s, file := served(t, live.Options{})
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go desk.Watch(ctx)
	next := events(t, s.URL)
	revision, problem := next()
	assert.Equal(t, 1, revision)
	assert.Empty(t, problem)
	question := fmt.Sprintf(`{"state":%q}`, loft)
	first := ask(t, s.URL, question)

	good := bytes.Replace(file.data, []byte(`stop = "40 %"`), []byte(`stop = "80 %"`), 1)
	file.put(good, nil)
	revision, problem = next()
	assert.Equal(t, 2, revision)
	assert.Empty(t, problem)
	second := ask(t, s.URL, question)
	assert.NotEqual(t, first.Parts, second.Parts)

	file.put(bytes.Replace(good, []byte(`stop = "80 %"`), []byte(`stop = "80 bananas"`), 1), nil)
	_, problem = next()
	assert.Contains(t, problem, "house.toml:")
	assert.Contains(t, problem, "80 bananas")
	assert.Equal(t, second.Parts, ask(t, s.URL, question).Parts, "the last good one is still there")

	file.put(nil, errors.New("it is gone"))
	_, problem = next()
	assert.Contains(t, problem, "it is gone")

	file.put(good, nil)
	_, problem = next()
	assert.Empty(t, problem)
	assert.Equal(t, second.Parts, ask(t, s.URL, question).Parts)
}

// Only this page, on this machine, is answered.
func TestGuard(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	port := s.URL[strings.LastIndex(s.URL, ":"):]
	for _, c := range []struct {
		name, method, path, host, origin, site, kind, body string
		want                                               int
	}{
		{name: "the page", path: "/", want: 200},
		{name: "by name", path: "/", host: "localhost" + port, want: 200},
		{name: "IPv6", path: "/", host: "[::1]" + port, want: 200},
		{name: "a name turned to this machine", path: "/", host: "attacker.example" + port, want: 421},
		{name: "a name that looks right", path: "/", host: "127.0.0.1.attacker.example", want: 421},
		{name: "localhost as a part of a name", path: "/", host: "localhost.attacker.example", want: 421},
		{name: "another machine", path: "/", host: "192.168.1.7" + port, want: 421},
		{name: "question of the page", method: "POST", path: "/solve", origin: s.URL, site: "same-origin", kind: "application/json", body: "{}", want: 200},
		{name: "question of another page", method: "POST", path: "/solve", origin: "http://attacker.example", kind: "application/json", body: "{}", want: 403},
		{name: "of another port", method: "POST", path: "/solve", origin: "http://127.0.0.1:1", kind: "application/json", body: "{}", want: 403},
		{name: "of a sandbox", method: "POST", path: "/solve", origin: "null", kind: "application/json", body: "{}", want: 403},
		{name: "by https", method: "POST", path: "/solve", origin: strings.Replace(s.URL, "http:", "https:", 1), kind: "application/json", body: "{}", want: 403},
		{name: "from elsewhere, says the browser", path: "/live.js", site: "cross-site", want: 403},
		{name: "news to another page", path: "/events", site: "same-site", want: 403},
		{name: "a form", method: "POST", path: "/solve", kind: "text/plain", body: "{}", want: 415},
		{name: "a url-encoded form", method: "POST", path: "/solve", kind: "application/x-www-form-urlencoded", body: "a=b", want: 415},
		{name: "no kind", method: "POST", path: "/solve", body: "{}", want: 415},
		{name: "no JSON", method: "POST", path: "/solve", kind: "application/json", body: "stop=1", want: 400},
		{name: "a key that is not known", method: "POST", path: "/solve", kind: "application/json", body: `{"write":true}`, want: 400},
		{name: "two questions", method: "POST", path: "/solve", kind: "application/json", body: `{}{}`, want: 400},
		{name: "too long", method: "POST", path: "/solve", kind: "application/json", body: `{"state":"` + strings.Repeat("x", 1<<20) + `"}`, want: 413},
		{name: "a long text", method: "POST", path: "/solve", kind: "application/json", body: `{"state":"` + strings.Repeat("x", 1001) + `"}`, want: 400},
		{name: "a path with a value in it", method: "POST", path: "/solve", kind: "application/json", body: `{"set":[{"path":"a=b","value":"c"}]}`, want: 400},
		{name: "many settings", method: "POST", path: "/solve", kind: "application/json", body: `{"set":[` + strings.Repeat(`{"path":"a","value":"b"},`, 100) + `{"path":"a","value":"b"}]}`, want: 400},
		{name: "asked by GET", path: "/solve", want: 405},
		{name: "the job file", path: "/house.toml", want: 404},
		{name: "out of the folder", path: "/../../etc/passwd", want: 307}, // to /etc/passwd of the page, which is not there,
		{name: "out of the folder, encoded", path: "/%2e%2e/%2e%2e/etc/passwd", want: 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			method := c.method
			if method == "" {
				method = http.MethodGet
			}
			r, err := http.NewRequest(method, s.URL, strings.NewReader(c.body))
			require.NoError(t, err)
			r.URL.Opaque = c.path // as it stands, not cleaned
			if c.host != "" {
				r.Host = c.host
			}
			for k, v := range map[string]string{"Origin": c.origin, "Sec-Fetch-Site": c.site, "Content-Type": c.kind} {
				if v != "" {
					r.Header.Set(k, v)
				}
			}
			res, err := http.DefaultTransport.RoundTrip(r)
			require.NoError(t, err)
			defer res.Body.Close()
			assert.Equal(t, c.want, res.StatusCode)
			assert.Empty(t, res.Header.Get("Access-Control-Allow-Origin"))
			assert.Equal(t, "nosniff", res.Header.Get("X-Content-Type-Options"))
			assert.Contains(t, res.Header.Get("Content-Security-Policy"), "default-src 'none'")
			assert.Contains(t, res.Header.Get("Content-Security-Policy"), "frame-ancestors 'none'")
		})
	}
}

// Many hands at once, while the file changes (meant for go test -race): everyone gets the answer to his own question.
func TestManyHands(t *testing.T) {
	desk, s, file := served(t, live.Options{})
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go desk.Watch(ctx)
	want := map[int]string{}
	stops := []int{20, 40, 60}
	for _, stop := range stops {
		want[stop] = ask(t, s.URL, fmt.Sprintf(`{"state":%q,"set":[{"path":"damper.main.stop","value":"%d %%"}]}`, loft, stop)).Parts
	}
	var wait sync.WaitGroup
	for i := range 6 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for k := range 4 {
				stop := stops[(i+k)%len(stops)]
				a := ask(t, s.URL, fmt.Sprintf(`{"state":%q,"set":[{"path":"damper.main.stop","value":"%d %%"}]}`, loft, stop))
				assert.Equal(t, want[stop], a.Parts)
				file.touch()
			}
		}()
	}
	wait.Wait()
}

func TestFirstFileMustBeGood(t *testing.T) {
	file := &disk{data: []byte("title = 3\n")}
	_, err := live.New(live.Options{Name: "x.toml", Source: file.source})
	require.Error(t, err)
	_, err = live.New(live.Options{})
	assert.ErrorIs(t, err, live.ErrNoSource)
}

// While a hand moves, the answer is what the eye follows, quickly solved: the same picture as at rest, to the last figure that is printed,
// for every kind of setting, in every call state; at rest comes all of it, by the straight way.
func TestMovingAnswers(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	part := func(parts, name string) string {
		_, rest, found := strings.Cut(parts, `data-part="`+name+`"`)
		require.True(t, found, name)
		text, _, _ := strings.Cut(rest, `<div data-part="`)
		return strings.TrimSpace(text)
	}
	for _, c := range []struct{ alternative, path, value string }{
		{"", "damper.main.stop", "63 %"}, {"", "damper.loft.open", "80 %"}, {"", "equipment.filter.loading", "2.5"},
		{"bypass-to-plenum", "bypass.relief.opens-at", "0.10 inwc"}, {"bypass-to-plenum", "bypass.relief.fully-open-at", "0.31 inwc"},
		{"dump-zone", "dump.hall-dump.opens-at", "0.09 inwc"}, {"", "equipment.cooling.tap", "medium"},
	} {
		t.Run(c.path, func(t *testing.T) {
			for _, name := range []string{loft, "heating: loft", "design-cooling: all zones"} {
				question := fmt.Sprintf(`{"alternative":%q,"state":%q,"set":[{"path":%q,"value":%q}]`, c.alternative, name, c.path, c.value)
				moving, rest := ask(t, s.URL, question+`,"moving":true}`), ask(t, s.URL, question+`}`)
				require.Empty(t, moving.Problem)
				assert.True(t, moving.Moving)
				assert.False(t, rest.Moving)
				for _, name := range []string{"picture", "ledger"} {
					assert.Equal(t, part(rest.Parts, name), part(moving.Parts, name))
				}
				assert.NotContains(t, moving.Parts, `data-part="charts"`)
				assert.Contains(t, rest.Parts, `data-part="charts"`)
				for i := range rest.Knobs {
					assert.Equal(t, rest.Knobs[i], moving.Knobs[i])
				}
			}
		})
	}
	refused := ask(t, s.URL, fmt.Sprintf(`{"state":%q,"moving":true,"set":[{"path":"damper.main.stop","value":"lots"}]}`, loft))
	assert.Contains(t, refused.Problem, "lots", "what cannot be changed quickly goes through the reader")
}

// From question to picture on the two-floor example; another damper position each time, so that nothing is remembered.
func BenchmarkAnswer(b *testing.B) {
	for _, moving := range []bool{false, true} {
		b.Run(fmt.Sprintf("moving=%t", moving), func(b *testing.B) {
			_, s, _ := served(b, live.Options{})
			i := 0
			for b.Loop() {
				i++
				ask(b, s.URL, fmt.Sprintf(`{"state":%q,"moving":%t,"set":[{"path":"damper.main.stop","value":"%.2f %%"}]}`, loft, moving, 20+float64(i%5000)/100))
			}
		})
	}
}
