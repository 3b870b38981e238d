/** Columns of `test_run` that make a TestRunSummary. */
export const summaryColumns =
  'test_run.id, test_run.serial, test_run.started_at AS startedAt, test_run.verdict, test_run.rig, test_run.station, test_run.reference_version AS referenceVersion, test_run.reason'
