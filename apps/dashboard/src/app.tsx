import { useEffect } from 'react'
import { Route, Switch, useLocation } from 'wouter'
import { FaultFence } from './frame/fault-fence.tsx'
import { Frame } from './frame/frame.tsx'
import { lateFiles } from './frame/late-files.ts'
import { LatePage } from './frame/late-page.tsx'
import { NoSuchPage } from './frame/no-such-page.tsx'
import { UnitsPage } from './units/units-page.tsx'

// The list stands at once; charts and the upload form are fetched while it is read, or when they are opened.
const unit = lateFiles(() => import('./unit/unit-page.tsx').then(({ UnitPage }) => UnitPage))
const measure = lateFiles(() => import('./measure/measure-page.tsx').then(({ MeasurePage }) => MeasurePage))
const rig = lateFiles(() => import('./rig/rig-page.tsx').then(({ RigPage }) => RigPage))
const upload = lateFiles(() => import('./upload/upload-page.tsx').then(({ UploadPage }) => UploadPage))

/** How long the first page has the connection for itself, ms. */
const headStartMs = 1500

export function App() {
  const [path] = useLocation()
  useEffect(() => {
    const timer = setTimeout(() => {
      unit.fetchAhead()
      upload.fetchAhead()
      measure.fetchAhead()
      rig.fetchAhead()
    }, headStartMs)
    return () => clearTimeout(timer)
  }, [])
  return (
    <Frame>
      <FaultFence key={path}>
        <Switch>
          <Route path="/">
            <UnitsPage />
          </Route>
          <Route path="/units/:serial">{({ serial }) => <LatePage files={unit} key={serial} serial={serial} />}</Route>
          <Route path="/units/:serial/runs/:id">
            {({ serial, id }) => <LatePage files={unit} key={serial} serial={serial} runId={id} />}
          </Route>
          <Route path="/measure">
            <LatePage files={measure} />
          </Route>
          <Route path="/rig">
            <LatePage files={rig} />
          </Route>
          <Route path="/test">
            <LatePage files={upload} />
          </Route>
          <Route>
            <NoSuchPage />
          </Route>
        </Switch>
      </FaultFence>
    </Frame>
  )
}
