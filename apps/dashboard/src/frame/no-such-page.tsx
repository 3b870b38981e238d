import { Link } from 'wouter'
import { PageTitle } from './page-title.tsx'
import { Sheet } from './sheet.tsx'

export const NoSuchPage = () => (
  <Sheet>
    <PageTitle title="No such page">There is no page here</PageTitle>
    <p>
      The address leads nowhere. <Link href="/">Go to the units</Link> and look from there.
    </p>
  </Sheet>
)
