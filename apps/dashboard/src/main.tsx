import './api/no-eval.ts'
import './theme.css'
import { QueryClientProvider } from '@tanstack/react-query'
import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { makeQueryClient } from './api/queries.ts'
import { App } from './app.tsx'
import { FaultFence } from './frame/fault-fence.tsx'
import { LiveProvider } from './frame/live-provider.tsx'

const place = document.getElementById('desk')
if (place === null) throw new Error('index.html has no element "desk"')

createRoot(place).render(
  <StrictMode>
    <QueryClientProvider client={makeQueryClient()}>
      <FaultFence>
        <LiveProvider>
          <App />
        </LiveProvider>
      </FaultFence>
    </QueryClientProvider>
  </StrictMode>,
)
