package study

import "fmt"

// QuestionError says that a question cannot be asked of this job, or not so: a range without steps, a setting that is not there.
// Everything else that goes wrong is of the job or its solution.
type QuestionError struct{ Reason string }

func (e *QuestionError) Error() string { return e.Reason }

// question makes a QuestionError.
func question(format string, args ...any) error { return &QuestionError{fmt.Sprintf(format, args...)} }
