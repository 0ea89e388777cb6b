package live

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// events tells a page of every change of the file, as server-sent events: the revision, and what is wrong with the file if something is.
func (d *Desk) events(w http.ResponseWriter, r *http.Request) {
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	changed, leave := d.listen()
	defer leave()
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		f := d.now()
		data, err := json.Marshal(struct {
			Revision int    `json:"revision"`
			Problem  string `json:"problem"`
		}{f.revision, f.problem})
		if err != nil {
			return
		}
		if _, err := fmt.Fprintf(w, "data: %s\n\n", data); err != nil {
			return
		}
		if out.Flush() != nil {
			return
		}
	wait:
		for {
			select {
			case <-r.Context().Done():
				return
			case <-changed:
				break wait
			case <-beat.C:
				if _, err := fmt.Fprint(w, ": still here\n\n"); err != nil || out.Flush() != nil {
					return
				}
			}
		}
	}
}

// heartbeat keeps the line open, and shows when nobody is there any more.
const heartbeat = 15 * time.Second
