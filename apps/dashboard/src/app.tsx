import { lazy, Suspense } from 'react'
import { Route, Switch } from 'wouter'
import { Frame } from './frame/frame.tsx'
import { Loading } from './frame/loading.tsx'
import { NoSuchPage } from './frame/no-such-page.tsx'
import { UnitsPage } from './units/units-page.tsx'

// The list stands at once; charts and the upload form come when they are opened.
const UnitPage = lazy(() => import('./unit/unit-page.tsx').then((page) => ({ default: page.UnitPage })))
const UploadPage = lazy(() => import('./upload/upload-page.tsx').then((page) => ({ default: page.UploadPage })))

export const App = () => (
  <Frame>
    <Suspense fallback={<Loading what="the page" />}>
      <Switch>
        <Route path="/">
          <UnitsPage />
        </Route>
        <Route path="/units/:serial">{({ serial }) => <UnitPage key={serial} serial={serial} />}</Route>
        <Route path="/units/:serial/runs/:id">
          {({ serial, id }) => <UnitPage key={serial} serial={serial} runId={id} />}
        </Route>
        <Route path="/test">
          <UploadPage />
        </Route>
        <Route>
          <NoSuchPage />
        </Route>
      </Switch>
    </Suspense>
  </Frame>
)
