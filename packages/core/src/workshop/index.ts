// The verbs of the workshop, as bench, API and desk call them.
export type {
  BuildDetail,
  BuildPlan,
  BuildRow,
  BuildUnit,
  BuildVerbs,
  ImportedRevision,
  PlannedLine,
} from './build/build-verbs.ts'
export type { AddGaugeReading, GaugeProgress, GaugeStudies, StartGaugeStudy } from './gauge-study/gauge-studies.ts'
export type { HardRecording, HardVerbs, RecordedHardRun, RecordHardRun } from './hard/hard-verbs.ts'
export { makeWorkshop } from './make-workshop.ts'
export type { Clock, Store } from './ports.ts'
export type { CalibrateLevels, ContactOverridden, DataLevel, Headroom, RigVerbs } from './rig/rig-verbs.ts'
export type { RecordedRigCheck, RecordRigCheck, RigChecks } from './rig-check/rig-checks.ts'
export type {
  LotDetail,
  LotTrace,
  LotTraceUnit,
  PartChanges,
  PartRow,
  StockImport,
  StockVerbs,
} from './stock/stock-verbs.ts'
export type { TableReport } from './table/import-report.ts'
export type { RefusedLine } from './table/read-table.ts'
export type {
  AddReference,
  BackupReport,
  CheckReport,
  DiagnoseRun,
  FurtherRecording,
  ProductBand,
  ProductBandReport,
  RecordedTestRun,
  RecordRework,
  RecordTestRun,
  SettingRecording,
  UnitDetail,
  UnitRow,
  Workshop,
  WorkshopFinding,
  WorkshopSummary,
} from './workshop.ts'
